"""The one-time code of the first person."""

import stat

import pytest

from workshop import setup_code


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    settings.PRODUCTION = settings.BEHIND_PROXY = False
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
    return tmp_path


def test_the_code_has_eight_letters_that_look_like_no_other():
    code = setup_code.current_code()
    assert len(code) == 8
    assert not set(code) & set("0O1IL2Z5SB")


def test_the_code_stays_until_it_is_spent():
    assert setup_code.current_code() == setup_code.current_code()


def test_the_code_is_private(folder):
    setup_code.current_code()
    assert stat.S_IMODE((folder / "setup-code").stat().st_mode) == 0o600
    assert [file.name for file in folder.iterdir()] == ["setup-code"]


def test_a_spent_code_opens_nothing():
    code = setup_code.current_code()
    setup_code.spend_code()
    assert not setup_code.is_right(code)


def test_spending_twice_does_no_harm():
    setup_code.spend_code()
    setup_code.spend_code()


def test_after_spending_the_next_code_is_another():
    first = setup_code.current_code()
    setup_code.spend_code()
    assert setup_code.current_code() != first


@pytest.mark.parametrize("form", ["{0}{1}", "{0} {1}", "{0}-{1}", " {0}{1} "])
def test_the_code_may_be_typed_in_halves_and_in_any_case(form):
    code = setup_code.current_code()
    assert setup_code.is_right(form.format(code[:4], code[4:]).lower())


@pytest.mark.parametrize("typed", ["", "AAAAAAAA", "é", "   "])
def test_another_code_is_wrong(typed):
    setup_code.current_code()
    assert not setup_code.is_right(typed)


def test_an_empty_answer_is_wrong_when_there_is_no_code():
    assert not setup_code.is_right("")


def test_on_its_own_machine_no_code_is_asked():
    assert not setup_code.is_asked()


@pytest.mark.parametrize(
    ("name", "value"),
    [("PRODUCTION", True), ("BEHIND_PROXY", True), ("ALLOWED_HOSTS", ["localhost", "192.168.1.20"])],
)
def test_a_code_is_asked_when_others_can_reach_the_shop(settings, name, value):
    setattr(settings, name, value)
    assert setup_code.is_asked()
