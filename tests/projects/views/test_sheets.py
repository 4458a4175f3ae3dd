import pytest

from materials import actions as shelf
from projects.actions import plan
from projects.models import Block, Sheet
from tests.factories import AT, Bench
from tests.projects.pages import FRAGMENT, act, at, said_at, words_of
from tests.projects.room import Room

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick")]


@pytest.fixture
def quick(monkeypatch):
    """No PDF is made: the paper itself is tested in test_sheets.py of the room."""
    monkeypatch.setattr(
        "workshop.paper.pdf", lambda template, context: b"%PDF of " + context["paper"].encode()
    )


def page(bench):
    return at("sheets", bench.shop, bench.project.key)


def pdf_page(bench, number=1):
    return at("sheet-pdf", bench.shop, bench.project.key, number)


# --- the list, and a new one ---


def test_without_a_sheet_the_page_says_what_one_holds(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(page(bench)))
    assert "No sheet yet" in words
    assert "A new sheet of Block A" in words


def test_a_made_sheet_is_listed_as_current(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    response = client.post(page(bench), act(paper="letter"), follow=True)
    sheet = Sheet.objects.get()
    assert f"Sheet 1 version {sheet.version} Letter," in words_of(response)
    assert "current" in words_of(response)


def test_a_script_is_led_to_the_list(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(paper="a4"), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, page(bench))


def test_a_sheet_is_older_once_the_block_was_changed(signed_in):
    room = Room()
    room.sheet()
    plan.keep_block(room.member, room.block, {"strips": 51}, at=AT)
    words = words_of(signed_in(room.member).get(page(room)))
    assert "older than the block" in words
    assert "current" not in words


def test_a_sheet_is_older_once_the_sheet_of_its_resin_was_changed(signed_in):
    room = Room()
    room.sheet()
    shelf.change_resin(room.member, room.resin, {"pot_minutes": 60.0}, at=AT)
    assert "older than the block" in words_of(signed_in(room.member).get(page(room)))


def test_a_sheet_is_current_again_when_the_block_is_as_it_was(signed_in):
    room = Room()
    room.sheet()
    for strips in (51, 50):
        plan.keep_block(room.member, room.block, {"strips": strips}, at=AT)
    assert "current" in words_of(signed_in(room.member).get(page(room)))


def test_a_sheet_made_before_a_pour_says_so(signed_in):
    room = Room()
    room.sheet()
    room.pour(minutes=30)
    words = words_of(signed_in(room.member).get(page(room)))
    assert "made before the last pour" in words


def test_another_title_leaves_a_sheet_current(signed_in):
    room = Room()
    room.sheet()
    type(room.project).objects.update(title="Fanlight")
    assert "current" in words_of(signed_in(room.member).get(page(room)))


def test_a_sheet_sent_twice_is_made_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(paper="a4")
    answers = [client.post(page(bench), sent) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert Sheet.objects.count() == 1


@pytest.mark.parametrize("said", ["", "a3"])
def test_another_paper_is_no_choice(signed_in, said):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(paper=said))
    assert response.status_code == 422
    assert said_at(response, "paper")
    assert not Sheet.objects.exists()


def test_a_block_without_a_resin_is_refused_with_a_sentence(signed_in):
    bench = Bench()
    Block.objects.update(resin=None)
    response = signed_in(bench.member).post(page(bench), act(paper="a4"))
    assert response.status_code == 422
    assert "The block has no resin yet. Choose one on the Block page, then make the sheet." in words_of(
        response
    )


def test_the_code_opens_the_address_that_the_shop_has_set(signed_in):
    bench = Bench()
    bench.shop.public_address = "https://tallow.example/"
    bench.shop.save()
    signed_in(bench.member).post(page(bench), act(paper="a4"))
    address = Sheet.objects.get().snapshot["address"]
    assert address == f"https://tallow.example{at('block', bench.shop, bench.project.key)}"


def test_without_a_set_address_the_code_opens_the_one_in_use(signed_in):
    bench = Bench()
    signed_in(bench.member).post(page(bench), act(paper="a4"))
    assert Sheet.objects.get().snapshot["address"].startswith("http://testserver/s/")


# --- the PDF ---


def test_the_pdf_is_read_in_the_browser_under_its_own_name(signed_in):
    room = Room()
    room.sheet()
    response = signed_in(room.member).get(pdf_page(room))
    assert (response.status_code, response["Content-Type"]) == (200, "application/pdf")
    assert response["Content-Disposition"] == f'inline; filename="{room.project.code}-sheet-1.pdf"'
    assert response.content == b"%PDF of a4"


def test_the_pdf_is_kept_by_no_cache_between(signed_in):
    room = Room()
    room.sheet()
    assert signed_in(room.member).get(pdf_page(room))["Cache-Control"] == "private, no-cache"


@pytest.mark.parametrize("number", [0, 2, 10**30])
def test_a_number_that_was_not_made_is_no_such_page(signed_in, number):
    room = Room()
    room.sheet()
    assert signed_in(room.member).get(pdf_page(room, number)).status_code == 404


def test_a_sheet_of_another_project_is_no_such_page(signed_in):
    room = Room()
    room.sheet()
    other = Bench()
    type(other.project).objects.filter(pk=other.project.pk).update(shop=room.shop)
    address = at("sheet-pdf", room.shop, other.project.key, 1)
    assert signed_in(room.member).get(address).status_code == 404
