"""What holds for every address of the room: who may come, what may be asked, what is not there."""

import uuid

import pytest

from projects import urls
from tests.built_once import built_once
from tests.factories import MemberFactory
from tests.projects.pages import words_of
from tests.projects.room import ADDRESSES, BOTH, POST, WholeRoom

pytestmark = pytest.mark.django_db

NAMES = sorted(ADDRESSES)
WRITES = [name for name in NAMES if "post" in ADDRESSES[name][1]]
READS = [name for name in NAMES if "get" in ADDRESSES[name][1]]
NO_ROWS = {"offer", "part", "number", "letter", "code", "kind", "file", "table"}
NAMED = [(name, row) for name in NAMES for row in ADDRESSES[name][0] if row not in NO_ROWS]
OWN_MATTER = {"feed", "feed-revoke"}  # of whoever is signed in, viewers too: see tests/test_access.py
METHODS = ("get", "post", "put", "patch", "delete")


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    """No PDF is made here."""
    monkeypatch.setattr("workshop.paper.pdf", lambda template, context: b"%PDF")


@pytest.fixture(scope="module")
def rooms(django_db_setup, django_db_blocker, tmp_path_factory):
    """Two shops with something at every address, the first with a sheet; built once for this file."""
    with (
        built_once(django_db_blocker, tmp_path_factory.mktemp("media")),
        pytest.MonkeyPatch.context() as patch,
    ):
        patch.setattr("workshop.paper.pdf", lambda template, context: b"%PDF")
        room, other = WholeRoom(), WholeRoom()
        room.sheet()
        yield room, other


@pytest.fixture
def room(rooms):
    return rooms[0]


@pytest.fixture
def other(rooms):
    return rooms[1]


def ask(client, room, name, method, **other):
    return getattr(client, method)(room.address(name, **other))


def test_the_table_of_these_tests_knows_every_address():
    assert {pattern.name for pattern in urls.urlpatterns} - OWN_MATTER == set(ADDRESSES)


@pytest.mark.parametrize("name", READS)
def test_a_member_can_open_it(signed_in, room, name):
    response = ask(signed_in(room.member), room, name, "get")
    assert response.status_code == (302 if name == "project" else 200)


@pytest.mark.parametrize("name", READS)
def test_a_viewer_can_open_it(signed_in, room, name):
    viewer = MemberFactory(shop=room.shop, role="viewer")
    assert ask(signed_in(viewer), room, name, "get").status_code == (302 if name == "project" else 200)


@pytest.mark.parametrize("name", WRITES)
def test_a_viewer_is_told_why_nothing_was_changed(signed_in, room, name):
    response = ask(signed_in(MemberFactory(shop=room.shop, role="viewer")), room, name, "post")
    assert response.status_code == 403
    assert "You can look at everything here, but not change it." in words_of(response)


@pytest.mark.parametrize("name", NAMES)
def test_whoever_is_signed_out_signs_in_first(client, room, name):
    method = "post" if ADDRESSES[name][1] == POST else "get"
    response = ask(client, room, name, method)
    assert response.status_code == 302
    assert response["Location"].startswith("/sign-in/?next=/s/")


@pytest.mark.parametrize("name", NAMES)
def test_a_stranger_finds_no_such_page(signed_in, room, name):
    method = "post" if ADDRESSES[name][1] == POST else "get"
    assert ask(signed_in(MemberFactory()), room, name, method).status_code == 404


@pytest.mark.parametrize("name", NAMES)
def test_whoever_left_the_shop_finds_no_such_page(signed_in, room, name):
    former = MemberFactory(shop=room.shop, left_at=room.member.created_at)
    method = "post" if ADDRESSES[name][1] == POST else "get"
    assert ask(signed_in(former), room, name, method).status_code == 404


@pytest.mark.parametrize(("name", "row"), NAMED)
def test_a_row_that_is_not_there_is_no_such_page(signed_in, room, name, row):
    client = signed_in(room.member)
    for method in sorted(ADDRESSES[name][1]):
        assert ask(client, room, name, method, **{row: uuid.uuid4()}).status_code == 404


@pytest.mark.parametrize(("name", "row"), NAMED)
def test_a_row_of_another_shop_is_no_such_page(signed_in, room, other, name, row):
    client = signed_in(room.member)
    for method in sorted(ADDRESSES[name][1]):
        assert ask(client, room, name, method, **{row: other.rows()[row]}).status_code == 404


@pytest.mark.parametrize("name", NAMES)
def test_it_answers_no_method_but_its_own(signed_in, room, name):
    client = signed_in(room.member)
    for method in set(METHODS) - ADDRESSES[name][1]:
        assert ask(client, room, name, method).status_code == 405, method


MAY_BE_EMPTY = {"act-demould"}  # a block that is out need not be measured yet


@pytest.mark.parametrize(
    "name", [name for name in WRITES if ADDRESSES[name][1] == BOTH and name not in MAY_BE_EMPTY]
)
def test_an_empty_form_is_shown_again(signed_in, room, name):
    response = signed_in(room.member).post(room.address(name), {"key": ""})
    assert response.status_code == 422


@pytest.mark.parametrize(
    "name",
    ["project", "block", "steps", "log", "sheets", "failures", "bench-step", "mix", "pour", "bench-photo"],
)
def test_a_removed_project_is_no_such_page(signed_in, room, name):
    type(room.project).objects.update(removed_at=room.project.created_at)
    assert ask(signed_in(room.member), room, name, "get").status_code == 404
