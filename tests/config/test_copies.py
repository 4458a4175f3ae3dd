"""The copy of the database before a migration."""

import sqlite3
import stat
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest

from config.running.console import CannotGoOnError
from config.running.copies import copy_database, drop_old_copies

AT = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)


@pytest.fixture
def database(tmp_path):
    """A database whose last line is still in its journal, as while the shop is served."""
    path = tmp_path / "shop.sqlite3"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(
            "PRAGMA journal_mode=WAL; CREATE TABLE cup (g); INSERT INTO cup VALUES (120);"
        )
        yield path


def test_the_copy_holds_what_the_database_holds(database, tmp_path):
    copy = copy_database(database, tmp_path / "backups", AT)
    with closing(sqlite3.connect(copy)) as connection:
        assert connection.execute("SELECT g FROM cup").fetchall() == [(120,)]


def test_the_copy_is_private_and_named_by_its_time(database, tmp_path):
    copy = copy_database(database, tmp_path / "backups", AT)
    assert copy.name == "before-migration-20260301-093000-000000.sqlite3"
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600


def test_no_half_copy_is_left(database, tmp_path):
    copy = copy_database(database, tmp_path / "backups", AT)
    assert list(copy.parent.iterdir()) == [copy]


def test_a_damaged_database_is_told_and_not_copied(tmp_path):
    (tmp_path / "shop.sqlite3").write_bytes(b"no database at all " * 100)
    with pytest.raises(CannotGoOnError, match="could not be copied"):
        copy_database(tmp_path / "shop.sqlite3", tmp_path / "backups", AT)
    assert list((tmp_path / "backups").iterdir()) == []


def test_the_newest_ten_are_kept(database, tmp_path):
    folder = tmp_path / "backups"
    copies = [copy_database(database, folder, AT + timedelta(days=day)) for day in range(12)]
    drop_old_copies(folder)
    assert sorted(folder.iterdir()) == copies[2:]


def test_other_files_in_the_folder_are_left_alone(database, tmp_path):
    folder = tmp_path / "backups"
    copy = copy_database(database, folder, AT)
    (folder / "my own copy.sqlite3").touch()
    drop_old_copies(folder, keep=1)
    assert {file.name for file in folder.iterdir()} == {copy.name, "my own copy.sqlite3"}
