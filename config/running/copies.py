"""A copy of the SQLite database before a migration touches it."""

import os
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from config.running.console import CannotGoOnError
from config.running.folders import make_private

KEPT = 10
PATTERN = "before-migration-*.sqlite3"


def copy_database(database: Path, folder: Path, at: datetime) -> Path:
    """Copy a database that may be in use; the copy has its name only once it is whole and on the disk."""
    make_private(folder)
    copy = folder / PATTERN.replace("*", at.strftime("%Y%m%d-%H%M%S-%f"))
    half = folder / f".{copy.name}.half"
    try:
        with closing(sqlite3.connect(database, timeout=20)) as connection:
            connection.execute("VACUUM INTO ?", (str(half),))
        half.chmod(0o600)
        keep_on_disk(half)
        os.replace(half, copy)
        keep_on_disk(folder)
    except (sqlite3.Error, OSError) as error:
        half.unlink(missing_ok=True)
        raise CannotGoOnError(
            f"The database could not be copied to {folder} ({error}), so it was not changed. "
            "Look whether the disk is full; then start again."
        ) from error
    return copy


def keep_on_disk(path: Path) -> None:
    """Wait until the disk itself holds a file or the names in a folder."""
    if os.name == "nt" and path.is_dir():
        return
    handle = os.open(path, os.O_RDWR if path.is_file() else os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def drop_old_copies(folder: Path, keep: int = KEPT) -> None:
    """Keep the newest copies only; a name begins with its time, so the order of names is that of age."""
    for old in sorted(folder.glob(PATTERN))[:-keep]:
        old.unlink()
    for half in folder.glob(".*.half"):
        half.unlink()
