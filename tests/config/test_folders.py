"""The data folder and the secret in it."""

import stat

import pytest

from config.running import folders
from config.running.console import CannotGoOnError


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


def test_the_data_folder_is_beside_the_program(monkeypatch):
    monkeypatch.delenv("GRAINGLASS_DATA", raising=False)
    assert folders.data_folder() == folders.PROGRAM / "var"


def test_the_data_folder_can_be_elsewhere(monkeypatch, tmp_path):
    monkeypatch.setenv("GRAINGLASS_DATA", str(tmp_path))
    assert folders.data_folder() == tmp_path


def test_only_its_owner_may_look_into_the_data_folder(tmp_path):
    assert mode(folders.make_private(tmp_path / "shop" / "var")) == 0o700


def test_a_data_folder_that_can_not_be_is_told_in_a_sentence(tmp_path):
    (tmp_path / "var").write_text("a file in the way")
    with pytest.raises(CannotGoOnError, match="can't be written to"):
        folders.make_private(tmp_path / "var")


def test_the_secret_is_long_and_private(monkeypatch, tmp_path):
    monkeypatch.delenv("GRAINGLASS_SECRET", raising=False)
    folders.make_secret(tmp_path)
    assert len((tmp_path / "secret").read_text()) >= 64
    assert mode(tmp_path / "secret") == 0o600


def test_the_secret_is_kept(monkeypatch, tmp_path):
    monkeypatch.delenv("GRAINGLASS_SECRET", raising=False)
    folders.make_secret(tmp_path)
    first = (tmp_path / "secret").read_text()
    folders.make_secret(tmp_path)
    assert (tmp_path / "secret").read_text() == first


def test_two_installations_have_two_secrets(monkeypatch, tmp_path):
    monkeypatch.delenv("GRAINGLASS_SECRET", raising=False)
    for name in ("one", "two"):
        folders.make_secret(folders.make_private(tmp_path / name))
    assert (tmp_path / "one" / "secret").read_text() != (tmp_path / "two" / "secret").read_text()


def test_no_secret_is_kept_when_the_environment_brings_one(monkeypatch, tmp_path):
    monkeypatch.setenv("GRAINGLASS_SECRET", "from elsewhere")
    folders.make_secret(tmp_path)
    assert not (tmp_path / "secret").exists()


def test_a_file_is_replaced_whole(tmp_path):
    (tmp_path / "key").write_text("old and longer")
    folders.write_private(tmp_path / "key", b"new")
    assert [file.name for file in tmp_path.iterdir()] == ["key"]
    assert (tmp_path / "key").read_bytes() == b"new"
