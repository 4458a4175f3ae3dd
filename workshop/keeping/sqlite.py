"""Copies of an SQLite database that may be in use, and the way back."""

import sqlite3
from contextlib import closing
from pathlib import Path

from config.running.copies import keep_on_disk
from workshop.keeping.trouble import KeepingTrouble


def copy(database, target):
    """A whole copy, on the disk before this returns."""
    with closing(sqlite3.connect(database, timeout=20)) as connection:
        connection.execute("VACUUM INTO ?", (str(target),))
    Path(target).chmod(0o600)
    keep_on_disk(Path(target))


def reader(file):
    """A connection that can't change the file."""
    return sqlite3.connect(f"{Path(file).absolute().as_uri()}?mode=ro", uri=True)


def check(file):
    """Open a copy again and look through it; its migrations and the rows of each table.

    Raises KeepingTrouble where it is damaged or no database of this program.
    """
    try:
        with closing(reader(file)) as connection:
            said = connection.execute("PRAGMA integrity_check").fetchone()[0]
            if said != "ok":
                raise KeepingTrouble(f"{file} is damaged: {said}.")
            names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            tables = sorted(name for (name,) in names if not name.startswith("sqlite_"))
            # the names come from the database's own list of tables
            count = 'SELECT count(*) FROM "{}"'
            rows = {table: connection.execute(count.format(table)).fetchone()[0] for table in tables}
            found = connection.execute("SELECT app, name FROM django_migrations")
            return [f"{app}.{name}" for app, name in found], rows
    except sqlite3.Error as error:
        raise KeepingTrouble(f"{file} can't be read as a database of Grainglass ({error}).") from error


def put_in(file, database):
    """Make the database what the copy is, in one go: who reads it sees all the old or all the new."""
    try:
        if not Path(database).exists():
            Path(database).touch(mode=0o600)
        with (
            closing(reader(file)) as source,
            closing(sqlite3.connect(database, timeout=20)) as target,
        ):
            source.backup(target)
    except sqlite3.Error as error:
        raise KeepingTrouble(
            f"The database was not changed: {error}. Stop the shop, then try again."
        ) from error
