"""Makes a backup: the database first, then the pictures, looked through before it has its name."""

import hashlib
import json
import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings
from django.db import connection

from config.running.console import CannotGoOnError
from config.running.copies import keep_on_disk
from config.running.folders import make_private
from config.running.locks import alone
from workshop.keeping import files, postgres, sqlite, thinning
from workshop.keeping.trouble import KeepingTrouble

FORMAT = 1
STAMP = "%Y%m%d-%H%M%S-%f"
USUAL, BEFORE_RESTORE = "backup-", "before-restore-"
KEPT_BEFORE_RESTORE = 3
DATABASES = {"sqlite": "database.sqlite3", "postgresql": "database.dump"}


def usual_folder():
    """Where backups go unless told otherwise. Another disk is better."""
    return Path(settings.DATA_DIR) / "backups"


def make(folder, at, prefix=USUAL):
    """A backup in a folder of its own in `folder`; its path. It has its name only once it is whole."""
    try:
        make_private(folder)
        with alone(folder / ".backup.lock", "Another backup is being made; waiting for it."):
            for left in folder.glob(".*.half-backup"):
                shutil.rmtree(left)
            whole = folder / f"{prefix}{at.astimezone(UTC).strftime(STAMP)}"
            half = folder / f".{whole.name}.half-backup"
            half.mkdir(mode=0o700)
            fill(half, newest_media(folder), at)
            os.replace(half, whole)
            keep_on_disk(folder)
            thin(folder)
            return whole
    except (OSError, CannotGoOnError) as error:
        raise KeepingTrouble(f"The backup was not made: {error}. Is there room on the disk?") from error


def fill(half, earlier, at):
    """Database, media and what stands in them, into a new folder."""
    file = half / DATABASES[connection.vendor]
    if connection.vendor == "sqlite":
        sqlite.copy(connection.settings_dict["NAME"], file)
        migrations, rows = sqlite.check(file)
    else:
        migrations, rows = postgres.dump(file)
    files.copy_all(settings.MEDIA_ROOT, half / "media", earlier)
    manifest = {
        "format": FORMAT,
        "made_at": at.astimezone(UTC).isoformat(),
        "database": connection.vendor,
        "sha256": fingerprint(file),
        "migrations": migrations,
        "rows": rows,
        "media": files.sizes(half / "media"),
    }
    written = half / "manifest.json"
    written.write_text(json.dumps(manifest, indent=1, sort_keys=True), encoding="utf-8")
    for path in (written, half):
        keep_on_disk(path)


def fingerprint(file):
    """The SHA-256 of a file."""
    with open(file, "rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()


def made_at(path, prefix=USUAL):
    """When a backup was made, by its name; None where the name is no such."""
    try:
        return datetime.strptime(path.name.removeprefix(prefix), STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None


def backups_in(folder, prefix=USUAL):
    """The backups in a folder, the oldest first: {when: path}."""
    found = {made_at(path, prefix): path for path in folder.glob(f"{prefix}*") if path.is_dir()}
    return dict(sorted((at, path) for at, path in found.items() if at))


def newest_media(folder):
    """The media of the newest backup, or None."""
    found = list(backups_in(folder).values())
    return found[-1] / "media" if found else None


def thin(folder):
    """Take old backups away."""
    usual = backups_in(folder)
    stay = thinning.kept(list(usual))
    gone = [path for at, path in usual.items() if at not in stay]
    for path in [*gone, *list(backups_in(folder, BEFORE_RESTORE).values())[:-KEPT_BEFORE_RESTORE]]:
        shutil.rmtree(path)
