"""Puts a backup back: into an empty installation, or in place of what is there, which is kept first."""

import json
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader

from workshop.keeping import backup, files, postgres, sqlite
from workshop.keeping.trouble import KeepingTrouble


@dataclass(frozen=True)
class Found:
    """What was given to be put back. A single database file has neither media nor a manifest."""

    database: Path
    vendor: str
    media: Path | None
    manifest: dict
    migrations: list
    rows: dict


@dataclass(frozen=True)
class Restored:
    """What stands now, and where what stood before is kept."""

    rows: dict
    media: dict
    kept: Path | None


def find(given):
    """Read and check what was given; raises KeepingTrouble where it is no backup or damaged."""
    given = Path(given)
    if given.is_file():
        if given.suffix == ".dump":
            raise KeepingTrouble("Name the folder that the dump lies in, not the dump itself.")
        migrations, rows = sqlite.check(given)
        return Found(given, "sqlite", None, {}, migrations, rows)
    try:
        manifest = json.loads((given / "manifest.json").read_text(encoding="utf-8"))
        file = given / backup.DATABASES[manifest["database"]]
        whole = manifest["format"] == backup.FORMAT and backup.fingerprint(file) == manifest["sha256"]
    except (OSError, ValueError, LookupError, TypeError) as error:
        raise KeepingTrouble(f"{given} is no backup of Grainglass that can be read ({error}).") from error
    if not whole or files.sizes(given / "media") != manifest["media"]:
        raise KeepingTrouble(f"{given} is not as it was made: something in it was changed or is missing.")
    if manifest["database"] == "sqlite":
        sqlite.check(file)
    return Found(
        file, manifest["database"], given / "media", manifest, manifest["migrations"], manifest["rows"]
    )


def refuse_what_does_not_fit(found):
    """Another kind of database, or one of a newer program."""
    if found.vendor != connection.vendor:
        raise KeepingTrouble(
            f"This backup is of {found.vendor}, the shop runs on {connection.vendor}. "
            "Start one with the same kind of DATABASE_URL."
        )
    known = {".".join(name) for name in MigrationLoader(None, ignore_no_migrations=True).disk_migrations}
    ours = {name for name in found.migrations if name.split(".")[0] in {"workshop", "materials", "projects"}}
    if not ours:
        raise KeepingTrouble(f"{found.database} is no database of Grainglass.")
    if ours - known:
        raise KeepingTrouble(
            "This backup was made by a newer version than the one that is installed. Update, then try again."
        )


def is_empty():
    """Whether nobody has an account here; a database that was never made ready is empty too."""
    try:
        return not get_user_model().objects.exists()
    except DatabaseError:
        return True


def restore(given, at, *, replace=False):
    """Put a backup back and look whether all of it came."""
    found = find(given)
    refuse_what_does_not_fit(found)
    kept = None
    if not is_empty():
        if not replace:
            raise KeepingTrouble(
                "This installation is not empty, so nothing was changed. "
                "With --replace it is kept in the folder of the backups, then replaced."
            )
        kept = backup.make(backup.usual_folder(), at, backup.BEFORE_RESTORE)
    put_in(found)
    rows = counted()
    if rows != found.rows:
        wrong = sorted(
            name for name in rows.keys() | found.rows.keys() if rows.get(name) != found.rows.get(name)
        )
        raise KeepingTrouble(f"Not all rows came back: {', '.join(wrong)}. What stood before: {kept}.")
    call_command("migrate", interactive=False, verbosity=0)
    Session.objects.all().delete()  # who was signed in then need not be now
    return Restored(rows, files.sizes(settings.MEDIA_ROOT), kept)


def put_in(found):
    """Pictures first, so that no row ever points at one that is not there yet."""
    if found.media:
        files.copy_all(found.media, settings.MEDIA_ROOT)
    connection.close()
    if found.vendor == "sqlite":
        sqlite.put_in(found.database, connection.settings_dict["NAME"])
    else:
        postgres.put_in(found.database)
    if found.media:
        files.put_back(found.media, settings.MEDIA_ROOT)


def counted():
    """The rows of each table as they stand."""
    if connection.vendor == "sqlite":
        return sqlite.check(connection.settings_dict["NAME"])[1]
    return postgres.standing()[1]
