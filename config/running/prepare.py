"""What must be true before the shop is served: folder, secret, database, static files."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from config.running.console import CannotGoOnError, say
from config.running.copies import copy_database, drop_old_copies
from config.running.folders import data_folder, make_private, make_secret
from config.running.locks import alone


@dataclass(frozen=True)
class Prepared:
    """How the shop stands once all is ready."""

    nobody_yet: bool
    setup_code: str
    demo: bool


def in_order(demo: bool = False) -> Prepared:
    """Make everything ready, one start at a time; problems come as a sentence.

    With `demo` a database that is made now gets the demo's shop.
    """
    os.umask(0o077)
    folder = make_private(data_folder())
    os.environ["GRAINGLASS_DATA"] = str(folder)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    with alone(folder / "prepare.lock", "Another start is at the database; waiting for it."):
        make_secret(folder)
        load_django()
        with problems_told():
            new = migrate(folder)
            forget_old_tasks()
            collect_static(folder)
            if demo and new:
                load_demo()
            return standing()


def load_django() -> None:
    """Load the settings and the apps; an unsafe setting is told in its own words."""
    import django
    from django.core.exceptions import ImproperlyConfigured

    try:
        django.setup()
    except ImproperlyConfigured as problem:
        raise CannotGoOnError(str(problem)) from problem


@contextmanager
def problems_told() -> Iterator[None]:
    """Turn what databases and disks refuse into a sentence."""
    from django.db import DatabaseError

    try:
        yield
    except DatabaseError as problem:
        raise CannotGoOnError(database_sentence(problem)) from problem
    except OSError as problem:
        raise CannotGoOnError(
            f"{problem.filename or 'The disk'}: {problem.strerror}. Give this user the right, or make room."
        ) from problem


def migrate(folder: Path) -> bool:
    """Bring the database to this version, after a copy if it holds anything; answers whether it is new."""
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    new = not executor.loader.applied_migrations
    if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return new
    if not new:
        keep_a_copy(folder)
    say("Bringing the database up to date ...")
    call_command("migrate", interactive=False, verbosity=0)
    return new


def load_demo() -> None:
    """Tell the demo's story; a shop can be founded without it, so trouble is said and not more."""
    from django.core.management import CommandError, call_command

    try:
        call_command("demo")
    except CommandError as problem:
        say(f"The demo was not loaded: {problem}")


def forget_old_tasks() -> None:
    """Take away the worker's notes of what it did weeks ago; what came out stands with each job."""
    from django.core.management import call_command

    call_command("prune_db_task_results", queue_name="*", verbosity=0)


def keep_a_copy(folder: Path) -> None:
    """Copy an SQLite database beside itself; another kind has tools of its own."""
    from django.db import connection

    if connection.vendor != "sqlite":
        say("This database is not copied here: keep a dump of it (pg_dump) before a new version.")
        return
    backups = folder / "backups"
    copy = copy_database(Path(connection.settings_dict["NAME"]), backups, datetime.now(UTC))
    drop_old_copies(backups)
    say(f"The database was copied to {copy} first.")


def database_sentence(problem: Exception) -> str:
    """What is wrong with the database and what to do, without its password."""
    from django.db import connection

    if connection.vendor == "sqlite":
        name = connection.settings_dict["NAME"]
        return (
            f"The database {name} can't be used ({problem}). If the file is damaged, put the newest copy "
            "from the folder 'backups' beside it in its place; if it may not be written to, "
            "give this user the right."
        )
    host = connection.settings_dict["HOST"] or "this machine"
    said = str(problem).strip()
    return f"The database on {host} does not answer: {said}. Look at DATABASE_URL and its server."


def collect_static(folder: Path) -> None:
    """Gather style, scripts and faces under names made of their content, when one has changed."""
    from django.conf import settings
    from django.core.management import call_command

    noted, now = folder / "static.sum", static_checksum(settings.STATICFILES_DIRS)
    if noted.exists() and noted.read_text() == now and Path(settings.STATIC_ROOT).is_dir():
        return
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    noted.write_text(now)


def static_checksum(folders: list[Path]) -> str:
    """What changes when a static file, or the way they are named, changes."""
    import hashlib

    import django

    sum_ = hashlib.sha256(django.__version__.encode())
    for file in sorted(file for folder in folders for file in Path(folder).rglob("*") if file.is_file()):
        sum_.update(str(file).encode() + b"\0" + file.read_bytes() + b"\0")
    sum_.update((Path(__file__).parent.parent / "storage.py").read_bytes())
    return sum_.hexdigest()


def standing() -> Prepared:
    """Whether anybody founded a shop yet, the code that the first one must show, whether a demo stands."""
    from workshop import setup_code
    from workshop.models import Shop

    nobody = not Shop.objects.real().exists()
    code = setup_code.current_code() if nobody and setup_code.is_asked() else ""
    return Prepared(nobody, code, Shop.objects.demos().exists())


def prepare() -> int:
    """The command `prepare`: all that `start` does before it serves, for another web server."""
    prepared = in_order()
    say("Ready to be served.")
    if prepared.setup_code:
        say(f"The first member types this code once: {prepared.setup_code}")
    return 0
