"""One lot: its ledger, writing a line, and taking one back."""

import pytest

from materials import actions
from materials.models import Movement
from tests.factories import AT, LotFactory, MemberFactory, SpeciesFactory, key, moment
from tests.projects.pages import Fields, act, said_at, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db
FRAGMENT = {"HX-Request": "true"}


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


@pytest.fixture
def lot(member):
    return LotFactory(
        shop=member.shop, code="A-01", resin__name="Tarn 90", resin__shop=member.shop, grams=500
    )


def url_of(lot):
    return f"/s/{lot.shop.key}/shelf/lots/{lot.key}/"


def write(client, lot, **more):
    return client.post(url_of(lot), act(**{"kind": "use", "amount": "120", "why": "", **more}))


def typed_in(response):
    """What stands in the form of a line; each line of the ledger below has a small form of its own."""
    return Fields(response.content.decode().split("In and out")[0]).found


def take_back(client, line, **more):
    address = f"{url_of(line.lot)}lines/{line.key}/"
    return client.post(address, act(**{"why": "wrong bottle", **more}))


# the page


def test_the_page_says_what_is_on_hand(signed_in, member, lot):
    assert "A-01 Tarn 90, part A" in (words := words_of(signed_in(member).get(url_of(lot))))
    assert "500 g On hand by the ledger." in words


def test_the_page_shows_each_line_in_the_shops_time(signed_in, member, lot):
    actions.draw_at_shelf(member, lot, 120.5, at=AT, why="a test cup")
    words = words_of(signed_in(member).get(url_of(lot)))
    assert "10 Mar 10:00 used −120.5 g a test cup" in words
    assert "came in +500 g" in words


def test_an_overdrawn_lot_asks_to_be_counted(signed_in, member, lot):
    actions.draw_at_bench(member, lot, 540, at=AT, happened_at=AT, act_key=key(), why="cup 1")
    words = words_of(signed_in(member).get(url_of(lot)))
    assert "−40 g" in words
    assert "More was used than ever came in. Count what is left" in words


def test_a_line_that_was_taken_back_says_so(signed_in, member, lot):
    line = actions.draw_at_shelf(member, lot, 120, at=AT)
    actions.reverse(member, line, at=AT, why="wrong bottle")
    words = words_of(signed_in(member).get(url_of(lot)))
    assert "taken back +120 g wrong bottle" in words
    assert words.count("Take back this line") == 1


def test_a_viewer_sees_no_button_to_take_back(signed_in, member, lot):
    viewer = MemberFactory(shop=member.shop, role="viewer")
    assert "Take back this line" not in words_of(signed_in(viewer).get(url_of(lot)))


def test_a_long_ledger_has_pages(signed_in, member, lot):
    for minutes in range(30):
        actions.draw_at_bench(
            member, lot, 1, at=AT, happened_at=moment(minutes + 1).happened_at, act_key=None, why="cup"
        )
    client = signed_in(member)
    assert "came in" not in words_of(client.get(url_of(lot)))
    assert "came in" in words_of(client.get(url_of(lot) + "?page=2"))


@pytest.mark.parametrize("lines", [1, 25])
def test_the_page_asks_the_same_of_the_database_however_long_the_ledger_is(
    signed_in, member, lot, lines, django_assert_num_queries
):
    for _ in range(lines):
        actions.reverse(member, actions.draw_at_shelf(member, lot, 1, at=AT), at=AT)
    client = signed_in(member)
    with django_assert_num_queries(6):  # session, user, member and shop, lot, count, lines
        client.get(url_of(lot))


# a line


@pytest.mark.parametrize(
    ("kind", "amount", "left"),
    [
        ("use", "120", 380),
        ("waste", "0,5 kg", 0),
        ("count", "480 g", 480),
        ("count", "0", 0),
        ("count", "700", 700),
    ],
)
def test_a_line_is_written(signed_in, member, lot, kind, amount, left):
    response = write(signed_in(member), lot, kind=kind, amount=amount, why="spring")
    assert response.headers["Location"] == url_of(lot)
    assert lot.on_hand == left
    assert lot.movements.get(kind=kind).why == "spring"


def test_an_inch_shop_writes_ounces(signed_in, member, lot):
    member.shop.units = "inch"
    member.shop.save()
    write(signed_in(member), lot, amount="16")
    assert lot.on_hand == pytest.approx(500 - 453.592, abs=0.001)


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("amount", "", "This field is required."),
        ("amount", "0", "More than 0 is needed."),
        ("amount", "0.0001 g", "More than 0 is needed."),
        ("amount", "-5", "−5\u00a0g is too little: 0\u00a0g or more."),
        ("amount", "some", "is not understood. Write it like 350 g or 12 oz."),
        ("amount", "5 mm", "“mm” is no unit for this."),
        ("amount", "2000 kg", "is too much: 1\u202f000\u202f000\u00a0g or less."),
        ("kind", "", "This field is required."),
        ("kind", "receive", "Select a valid choice."),
        ("why", "x" * 301, "at most 300 characters"),
    ],
)
def test_bad_input_gets_a_sentence_and_stays(signed_in, member, lot, field, text, sentence):
    response = write(signed_in(member), lot, **{field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response).get(field, text) == text
    assert lot.movements.count() == 1


def test_more_than_there_is_gets_a_sentence_and_stays(signed_in, member, lot):
    response = write(signed_in(member), lot, amount="501", why="a large cup")
    assert response.status_code == 422
    assert "A-01 holds 500 g, 501 g were wanted. Take less or another one, or count it" in words_of(response)
    assert (typed_in(response)["amount"], typed_in(response)["why"]) == ("501", "a large cup")
    assert lot.on_hand == 500


def test_strips_are_whole(signed_in, member):
    species = SpeciesFactory(shop=member.shop)
    bundle = LotFactory(
        shop=member.shop, kind="wood", resin=None, part="", species=species, unit="strips", grams=60
    )
    response = write(signed_in(member), bundle, amount="2.5")
    assert said_at(response, "amount") == "A whole number is needed."


def test_a_line_sent_twice_is_written_once(signed_in, member, lot):
    client, sent = signed_in(member), str(key())
    answers = [write(client, lot, key=sent).headers["Location"] for _ in range(2)]
    assert answers == [url_of(lot)] * 2
    assert lot.on_hand == 380


def test_the_last_of_a_lot_sent_twice_is_drawn_once_and_answered_twice(signed_in, member, lot):
    """The second sending must not be told that there is nothing left."""
    client, sent = signed_in(member), str(key())
    assert [write(client, lot, key=sent, amount="500").status_code for _ in range(2)] == [302, 302]
    assert lot.on_hand == 0


def test_the_same_key_with_another_amount_is_refused(signed_in, member, lot):
    client, sent = signed_in(member), str(key())
    write(client, lot, key=sent)
    response = write(client, lot, key=sent, amount="121")
    assert response.status_code == 422
    assert "This was already sent, with other figures." in words_of(response)
    assert lot.on_hand == 380


def test_the_same_key_from_another_member_is_refused(signed_in, member, lot):
    sent = str(key())
    write(signed_in(member), lot, key=sent)
    response = write(signed_in(MemberFactory(shop=member.shop)), lot, key=sent)
    assert (response.status_code, lot.on_hand) == (422, 380)


def test_with_script_the_answer_is_where_to_go(signed_in, member, lot):
    response = signed_in(member).post(url_of(lot), act(kind="use", amount="1"), headers=FRAGMENT)
    assert (response.status_code, response.headers["HX-Redirect"]) == (204, url_of(lot))


def test_a_stranger_writes_nothing(signed_in, lot):
    assert write(signed_in(MemberFactory()), lot).status_code == 404
    assert lot.on_hand == 500


def test_a_line_is_in_history(signed_in, member, lot):
    write(signed_in(member), lot, why="a test cup")
    event = Event.objects.get()
    assert (event.actor, event.target_label, event.why) == (member, "A-01: used", "a test cup")


@pytest.mark.parametrize("lines", [1, 25])
def test_writing_a_line_costs_the_same_however_long_the_ledger_is(
    signed_in, member, lot, lines, django_assert_num_queries
):
    for _ in range(lines):
        actions.draw_at_shelf(member, lot, 1, at=AT)
    client = signed_in(member)
    with django_assert_num_queries(17):
        write(client, lot, amount="1")


# taking back


@pytest.fixture
def line(member, lot):
    return actions.draw_at_shelf(member, lot, 120, at=AT)


def test_a_line_is_taken_back(signed_in, member, lot, line):
    response = take_back(signed_in(member), line)
    assert response.headers["Location"] == url_of(lot)
    assert lot.on_hand == 500
    assert lot.movements.get(kind="reverse").why == "wrong bottle"


@pytest.mark.parametrize(
    ("why", "sentence"),
    [
        ("", "Say why the line is taken back."),
        ("  ", "Say why"),
        ("x" * 301, "at most 300 characters (it has 301)"),
    ],
)
def test_taking_back_wants_a_reason(signed_in, member, lot, line, why, sentence):
    response = take_back(signed_in(member), line, why=why)
    assert response.status_code == 422
    assert sentence in words_of(response)
    assert lot.on_hand == 380


def test_a_line_taken_back_already_gets_a_sentence(signed_in, member, lot, line):
    client = signed_in(member)
    take_back(client, line)
    response = take_back(client, line)
    assert response.status_code == 422
    assert "This line was taken back before." in words_of(response)
    assert lot.on_hand == 500


def test_a_receipt_that_was_used_gets_a_sentence(signed_in, member, lot, line):
    response = take_back(signed_in(member), lot.movements.get(kind="receive"))
    assert response.status_code == 422
    assert "This line added 500 g, and A-01 holds 380 g: the rest was used." in words_of(response)


def test_taking_back_sent_twice_is_done_once_and_answered_twice(signed_in, member, lot, line):
    client, sent = signed_in(member), str(key())
    assert [take_back(client, line, key=sent).status_code for _ in range(2)] == [302, 302]
    assert lot.on_hand == 500


def test_a_line_of_another_lot_is_no_such_page(signed_in, member, lot, line):
    other = LotFactory(shop=member.shop, resin=lot.resin)
    response = signed_in(member).post(f"{url_of(other)}lines/{line.key}/", act(why="x"))
    assert response.status_code == 404


def test_a_stranger_takes_nothing_back(signed_in, line):
    assert take_back(signed_in(MemberFactory()), line).status_code == 404
    assert not Movement.objects.filter(kind="reverse").exists()
