"""What every test may ask for. Rows come from `tests/factories.py`."""

import pytest
from django.conf import settings
from hypothesis import settings as properties

# a busy machine is slow now and then; how long an example took proves nothing
properties.register_profile("steady", deadline=None)
properties.load_profile("steady")


@pytest.fixture(autouse=True)
def media_of_its_own(tmp_path, settings):
    """Each test keeps its files to itself."""
    settings.MEDIA_ROOT = tmp_path / "media"


@pytest.fixture
def signed_in(client):
    """Signs a member in: `signed_in(member)` gives the client."""

    def sign_in(member):
        client.force_login(member.user, backend=settings.AUTHENTICATION_BACKENDS[-1])
        return client

    return sign_in
