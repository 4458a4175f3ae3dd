"""The drill: keep, lose, put back, on whichever database the tests run on."""

import json
import sqlite3
import stat
from contextlib import closing
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.conf import settings as django_settings
from django.contrib.sessions.models import Session
from django.core.management import CommandError, call_command
from django.db import connection

from tests.factories import AT, MemberFactory
from workshop.keeping import backup, restore
from workshop.keeping.trouble import KeepingTrouble
from workshop.models import Member, Shop, User

pytestmark = pytest.mark.django_db(transaction=True)
PHOTO = b"a photo that never changes"


@pytest.fixture
def member(settings, tmp_path):
    """Somebody in a shop with a photo; the data folder is this test's own."""
    settings.DATA_DIR = tmp_path
    photo(settings).parent.mkdir(parents=True)
    photo(settings).write_bytes(PHOTO)
    return MemberFactory(shop__name="Tallow Yard", user__email="ines@example.org")


def photo(settings=django_settings):
    return Path(settings.MEDIA_ROOT) / "pictures" / "one.jpg"


def kept_in(tmp_path, at=AT):
    return backup.make(tmp_path / "elsewhere", at)


def lose_everything():
    """What a broken disk does to a shop."""
    Member.objects.all().delete()
    User.objects.all().delete()
    Shop.objects.all().delete()
    photo().unlink()


def said_by(command, *words, **more):
    out = StringIO()
    call_command(command, *map(str, words), stdout=out, **more)
    return out.getvalue()


def test_what_was_kept_comes_back_whole(member, tmp_path):
    whole = kept_in(tmp_path)
    lose_everything()
    done = restore.restore(whole, AT)
    assert Member.objects.get().name == "Ines"
    assert Member.objects.get().key == member.key
    assert photo().read_bytes() == PHOTO
    assert done.rows == json.loads((whole / "manifest.json").read_text())["rows"]


def test_a_backup_is_private_and_no_half_is_left(member, tmp_path):
    whole = kept_in(tmp_path)
    assert stat.S_IMODE(whole.stat().st_mode) == 0o700
    assert [path for path in whole.parent.iterdir() if path.name.startswith(".backup-")] == []


def test_a_backup_counts_what_it_holds(member, tmp_path):
    manifest = json.loads((kept_in(tmp_path) / "manifest.json").read_text())
    assert manifest["rows"]["workshop_member"] == 1
    assert manifest["media"] == {"files": 1, "bytes": len(PHOTO)}


def test_a_photo_that_stayed_takes_no_room_twice(member, tmp_path):
    one, other = kept_in(tmp_path), kept_in(tmp_path, AT + timedelta(days=1))
    inodes = {(path / "media" / "pictures" / "one.jpg").stat().st_ino for path in (one, other)}
    assert len(inodes) == 1


def test_a_shop_that_is_not_empty_is_left_alone(member, tmp_path):
    whole = kept_in(tmp_path)
    Member.objects.update(name="Joris")
    with pytest.raises(KeepingTrouble, match="not empty, so nothing was changed"):
        restore.restore(whole, AT)
    assert Member.objects.get().name == "Joris"


def test_what_is_replaced_is_kept_first(member, tmp_path):
    whole = kept_in(tmp_path)
    Member.objects.update(name="Joris")
    done = restore.restore(whole, AT + timedelta(days=1), replace=True)
    assert Member.objects.get().name == "Ines"
    restore.restore(done.kept, AT + timedelta(days=2), replace=True)
    assert Member.objects.get().name == "Joris"


def test_a_photo_taken_since_is_gone_and_kept(member, tmp_path):
    whole = kept_in(tmp_path)
    late = photo().with_name("two.jpg")
    late.write_bytes(b"later")
    done = restore.restore(whole, AT, replace=True)
    assert not late.exists()
    assert (done.kept / "media" / "pictures" / "two.jpg").read_bytes() == b"later"


def test_after_a_restore_everybody_signs_in_again(member, signed_in, tmp_path):
    signed_in(member)
    whole = kept_in(tmp_path)
    restore.restore(whole, AT, replace=True)
    assert not Session.objects.exists()


@pytest.mark.parametrize("part", ["database", "media"])
def test_a_backup_that_was_changed_is_refused(member, tmp_path, part):
    whole = kept_in(tmp_path)
    file = next(whole.glob("database.*")) if part == "database" else whole / "media" / "pictures" / "one.jpg"
    file.write_bytes(b"broken")
    lose_everything()
    with pytest.raises(KeepingTrouble, match="is not as it was made"):
        restore.restore(whole, AT)


def test_a_backup_of_a_newer_version_is_refused(member, tmp_path):
    whole = kept_in(tmp_path)
    manifest = json.loads((whole / "manifest.json").read_text())
    manifest["migrations"].append("workshop.0999_from_the_future")
    (whole / "manifest.json").write_text(json.dumps(manifest))
    lose_everything()
    with pytest.raises(KeepingTrouble, match="made by a newer version"):
        restore.restore(whole, AT)


def test_a_backup_of_another_kind_of_database_is_refused(member, tmp_path):
    whole = kept_in(tmp_path)
    manifest = json.loads((whole / "manifest.json").read_text())
    other = "postgresql" if manifest["database"] == "sqlite" else "sqlite"
    file = next(whole.glob("database.*"))
    file.rename(whole / backup.DATABASES[other])
    (whole / "manifest.json").write_text(json.dumps({**manifest, "database": other}))
    with pytest.raises(KeepingTrouble, match="This backup is of|can't be read"):
        restore.restore(whole, AT)


def test_a_folder_that_is_no_backup_is_refused(member, tmp_path):
    with pytest.raises(KeepingTrouble, match="is no backup of Grainglass"):
        restore.restore(tmp_path, AT)


def test_a_file_that_is_no_database_is_refused(member, tmp_path):
    (tmp_path / "notes.sqlite3").write_bytes(b"walnut, pear " * 200)
    with pytest.raises(KeepingTrouble, match="can't be read as a database"):
        restore.restore(tmp_path / "notes.sqlite3", AT)


def test_a_database_of_another_program_is_refused(member, tmp_path):
    with closing(sqlite3.connect(tmp_path / "other.sqlite3")) as other:
        other.executescript("CREATE TABLE django_migrations (app, name); CREATE TABLE cup (g);")
    with pytest.raises(KeepingTrouble, match="is no database of Grainglass|This backup is of"):
        restore.restore(tmp_path / "other.sqlite3", AT)


@pytest.mark.skipif(connection.vendor != "sqlite", reason="only SQLite is copied to a single file")
def test_a_copy_from_before_a_migration_comes_back_too(member, tmp_path):
    with closing(sqlite3.connect(connection.settings_dict["NAME"])) as live:
        live.execute("VACUUM INTO ?", (str(tmp_path / "before-migration-1.sqlite3"),))
    Member.objects.update(name="Joris")
    restore.restore(tmp_path / "before-migration-1.sqlite3", AT, replace=True)
    assert Member.objects.get().name == "Ines"
    assert photo().exists()


def test_old_backups_go(member, tmp_path):
    made = [kept_in(tmp_path, AT + timedelta(hours=hour)) for hour in range(5)]
    assert sorted(backup.backups_in(tmp_path / "elsewhere").values()) == made[2:]


def test_the_commands_say_where_and_how_much(member, tmp_path):
    said = said_by("backup", "--to", tmp_path / "elsewhere")
    whole = next(path for path in (tmp_path / "elsewhere").iterdir() if path.is_dir())
    assert str(whole) in said
    assert "1 files, all counted" in said_by("restore", whole, replace=True)


def test_the_backup_goes_to_the_data_folder_unless_told(member, tmp_path):
    assert str(tmp_path / "backups" / "backup-") in said_by("backup")


def test_a_folder_that_can_not_be_written_is_told(member, tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CommandError, match="The backup was not made"):
        said_by("backup", "--to", tmp_path / "file")


def test_the_command_to_restore_tells_what_is_wrong(member, tmp_path):
    with pytest.raises(CommandError, match="is no backup of Grainglass"):
        said_by("restore", tmp_path)
