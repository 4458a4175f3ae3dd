"""Settings of the test suite: the real ones, with what a test needs to be quick and alone."""

import atexit
import os
import shutil
import tempfile

# the browser's interface keeps an event loop running in the process of the tests
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
os.environ.setdefault("GRAINGLASS_SECRET", "only-for-tests-" * 5)
os.environ["GRAINGLASS_PRODUCTION"] = os.environ["GRAINGLASS_DEBUG"] = "false"
TEST_DATA = tempfile.mkdtemp(prefix="grainglass-test-")
atexit.register(shutil.rmtree, TEST_DATA, ignore_errors=True)
os.environ["GRAINGLASS_DATA"] = TEST_DATA
os.makedirs(os.path.join(TEST_DATA, "static"))  # whitenoise warns where nothing was collected

from config.settings import *  # noqa: E402, F403
from config.settings import DATABASES, SQLITE  # noqa: E402

ALLOWED_HOSTS = ["localhost", "127.0.0.1", "testserver"]
if SQLITE:
    # a real file, so that the journal and the locks are those of the shop
    DATABASES["default"]["TEST"] = {"NAME": os.path.join(TEST_DATA, "test.sqlite3")}
# a job is done as soon as what began it is stored
TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
