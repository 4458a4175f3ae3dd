"""The shelf: what stands on it, and in which state."""

import re
from datetime import date

import pytest
from django.utils import timezone

from tests.factories import (
    AT,
    LotFactory,
    MemberFactory,
    MovementFactory,
    NeedFactory,
    ProjectFactory,
    ResinFactory,
    SpeciesFactory,
    SupplyFactory,
    SupplyLotFactory,
    WoodLotFactory,
)
from tests.projects.pages import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


def shelf(member):
    return f"/s/{member.shop.key}/shelf/"


def bundle_lot(member, **more):
    species = more.pop("species", None) or SpeciesFactory(shop=member.shop)
    return LotFactory(
        shop=member.shop,
        kind="wood",
        resin=None,
        part="",
        species=species,
        unit="strips",
        **{"grams": 60, **more},
    )


# what stands there


def test_a_new_shop_is_told_to_begin_with_a_resin(signed_in, member):
    assert "Begin with one resin" in words_of(signed_in(member).get(shelf(member)))


def test_a_shop_with_a_resin_is_told_to_say_what_came_in(signed_in, member):
    ResinFactory(shop=member.shop, name="Tarn 90")
    words = words_of(signed_in(member).get(shelf(member)))
    assert "Nothing on the shelf" in words
    assert "Tarn 90 100 : 45 by mass" in words


def test_a_bottle_shows_code_resin_and_what_is_left(signed_in, member):
    lot = LotFactory(
        shop=member.shop, resin__shop=member.shop, resin__name="Tarn 90", code="A-07", grams=1250
    )
    MovementFactory(shop=member.shop, lot=lot, kind="use", thousandths=-250_000)
    assert "A-07 Tarn 90, part A 1 000 g" in words_of(signed_in(member).get(shelf(member)))


def test_an_inch_shop_reads_ounces(signed_in, member):
    member.shop.units = "inch"
    member.shop.save()
    LotFactory(shop=member.shop, grams=453.59237)
    assert "16 oz" in words_of(signed_in(member).get(shelf(member)))


def test_a_bundle_shows_its_strips(signed_in, member):
    bundle_lot(
        member, code="W-01", species=SpeciesFactory(shop=member.shop, name="black walnut"), thickness_mm=2
    )
    assert "W-01 black walnut 60 strips 2 mm thick" in words_of(signed_in(member).get(shelf(member)))


def states(response):
    """The words of all states on the page."""
    return re.findall(
        r'class="state \w+">.*?</svg>([^<]+)<',
        response.content.decode().split('class="unit-frame"')[1].split('class="beside"')[0],
        re.DOTALL,
    )


@pytest.mark.parametrize(
    ("lot", "state"),
    [
        ({"grams": 99}, "low"),
        ({"use_by": date(2020, 1, 1)}, "past its date"),
        ({"grams": 5000}, ""),
        ({"use_by": date(2199, 1, 1)}, ""),
    ],
)
def test_a_bottle_shows_its_state(signed_in, member, lot, state):
    LotFactory(shop=member.shop, **lot)
    assert states(signed_in(member).get(shelf(member))) == ([state] if state else [])


def test_an_overdrawn_bottle_asks_to_be_counted(signed_in, member):
    lot = LotFactory(shop=member.shop, grams=100)
    MovementFactory(shop=member.shop, lot=lot, kind="use", thousandths=-140_000)
    assert "count it" in words_of(signed_in(member).get(shelf(member)))


def test_today_is_the_shops_today(signed_in, member):
    """A date is past when the shop's day is over, whatever the day in Greenwich."""
    today = timezone.localdate(timezone=member.shop.tz)
    LotFactory(shop=member.shop, use_by=today)
    assert "past its date" not in words_of(signed_in(member).get(shelf(member)))


def test_another_shops_bottles_stand_elsewhere(signed_in, member):
    LotFactory(code="THEIRS", resin__name="Theirs")
    assert "THEIRS" not in words_of(signed_in(member).get(shelf(member)))


def test_a_lot_taken_off_the_shelf_is_gone(signed_in, member):
    LotFactory(shop=member.shop, code="GONE", removed_at=AT)
    assert "GONE" not in words_of(signed_in(member).get(shelf(member)))


def test_a_board_shows_its_first_dozen_and_leads_to_the_rest(signed_in, member):
    resin = ResinFactory(shop=member.shop)
    for number in range(14):
        LotFactory(shop=member.shop, resin=resin, code=f"T-{number:02d}x")
    client = signed_in(member)
    words = words_of(client.get(shelf(member)))
    assert "T-11x" in words
    assert "T-12x" not in words
    assert "Bottles and 2 more" in words
    assert "T-12x" in words_of(client.get(shelf(member) + "?kind=bottles"))


def test_a_full_board_has_pages(signed_in, member):
    resin = ResinFactory(shop=member.shop)
    for number in range(37):
        LotFactory(shop=member.shop, resin=resin, code=f"T-{number:02d}x")
    client = signed_in(member)
    assert "T-36x" not in words_of(client.get(shelf(member) + "?kind=bottles"))
    assert "T-36x" in words_of(client.get(shelf(member) + "?kind=bottles&page=2"))


# each thing on its board


def on_boards(response):
    """The boards of the page: title to the codes on it."""
    text = response.content.decode()
    return {
        re.search(r"<h2>(.*?)</h2>", section)[1]: re.findall(r'"code">(.*?)<', section)
        for section in text.split('class="unit-frame"')[1].split('class="beside"')[0].split("<section>")[1:]
    }


def one_of_each(shop):
    """Something on every board, and a roll that was taken off."""
    LotFactory(shop=shop, resin__shop=shop, resin__name="Tarn 90", code="A-01")
    WoodLotFactory(shop=shop, code="W-01", species__name="pear")
    WoodLotFactory(shop=shop, code="S-01", kind="sawn", unit="pieces", species__name="bog oak")
    WoodLotFactory(
        shop=shop, code="L-01", kind="leftover", unit="pieces", strip_mm=2, gap_mm=1.5, phase_mm=0.6, grams=1
    )
    for kind, unit, code in (("consumable", "level", "K-01"), ("finish", "ml", "F-01")):
        SupplyLotFactory(shop=shop, supply__kind=kind, supply__unit=unit, code=code, grams=750)
    grade = {"supply__kind": "abrasive", "supply__grade": "400", "supply__grade_system": "CAMI"}
    SupplyLotFactory(shop=shop, code="P-01", supply__unit="pieces", grams=40, **grade)
    SupplyLotFactory(shop=shop, code="K-99", removed_at=AT)


def test_each_thing_stands_on_its_board(signed_in, member):
    one_of_each(member.shop)
    assert on_boards(signed_in(member).get(shelf(member))) == {
        "Bottles": ["A-01"],
        "The rack": ["S-01", "W-01"],
        "Leftovers": ["L-01"],
        "Tape, tins and paper": ["P-01", "K-01", "F-01"],
    }


@pytest.mark.parametrize(
    ("asked", "codes"),
    [
        ("kind=bottles", ["A-01"]),
        ("kind=wood", ["S-01", "W-01"]),
        ("kind=leftovers", ["L-01"]),
        ("kind=supplies", ["P-01", "K-01", "F-01"]),
        ("kind=off", ["K-99"]),
        ("find=PEAR", ["W-01"]),
        ("find=tarn+a-01", ["A-01"]),
        ("find=01&kind=wood", ["S-01", "W-01"]),
        ("kind=nonsense", ["A-01", "S-01", "W-01", "L-01", "P-01", "K-01", "F-01"]),
    ],
)
def test_the_shelf_shows_only_what_is_asked_for(signed_in, member, asked, codes):
    one_of_each(member.shop)
    boards = on_boards(signed_in(member).get(f"{shelf(member)}?{asked}"))
    assert [code for row in boards.values() for code in row] == codes


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ("find=zebrano", "Nothing is called “zebrano”."),
        ("find=zebrano&kind=off", "Nothing that was taken off is called “zebrano”."),
        ("kind=ageing", "Nothing is past its date"),
        ("kind=leftovers", "Nothing of that kind stands here."),
        ("kind=off", "Nothing was taken off the shelf."),
    ],
)
def test_what_is_not_there_is_said_in_a_sentence(signed_in, member, asked, sentence):
    ResinFactory(shop=member.shop)
    assert sentence in words_of(signed_in(member).get(f"{shelf(member)}?{asked}"))


def test_a_leftover_shows_its_length_and_its_stripes(signed_in, member):
    one_of_each(member.shop)
    words = words_of(signed_in(member).get(shelf(member) + "?kind=leftovers"))
    assert "600 mm strip 2 mm, gap 1.5 mm, first line 0.6 mm" in words


def test_paper_shows_its_grade_with_its_system(signed_in, member):
    one_of_each(member.shop)
    assert "CAMI 400</text>" in signed_in(member).get(shelf(member)).content.decode()


@pytest.mark.parametrize(
    ("level", "state"), [("enough", []), ("low", ["running out"]), ("gone", ["buy more"])]
)
def test_tape_shows_how_much_there_is(signed_in, member, level, state):
    SupplyLotFactory(shop=member.shop, level=level)
    assert states(signed_in(member).get(shelf(member))) == state


def test_a_bottle_that_is_empty_says_so(signed_in, member):
    lot = LotFactory(shop=member.shop, grams=100)
    MovementFactory(shop=member.shop, lot=lot, kind="use", thousandths=-100_000)
    assert states(signed_in(member).get(shelf(member))) == ["empty"]


def test_a_darkened_part_is_drawn_brown(signed_in, member):
    LotFactory(shop=member.shop, part="B", condition="darkened")
    assert "k-dark" in signed_in(member).get(shelf(member)).content.decode()


# beside it


def test_what_open_projects_miss_stands_beside_the_shelf(signed_in, member):
    need = NeedFactory(
        project=ProjectFactory(shop=member.shop, code="033", title="Lantern", due_on=date(2199, 3, 20)),
        supply=SupplyFactory(shop=member.shop, name="Discs", unit="pieces", pack=50, lead_days=4),
        thousandths=60_000,
    )
    words = words_of(signed_in(member).get(shelf(member)))
    assert f"{need.supply} 60 pieces short A pack holds 50 pieces: 2 packs." in words
    assert "Order by Sat 16 Mar : 4 days on the road, and 033 Lantern is due on Wed 20 Mar." in words


def test_what_runs_low_and_what_ages_stand_beside_the_shelf(signed_in, member):
    SupplyLotFactory(shop=member.shop, supply__name="Release tape", code="K-01", level="low")
    LotFactory(shop=member.shop, code="C-71", use_by=date(2020, 1, 2))
    words = words_of(signed_in(member).get(shelf(member)))
    assert "Release tape low K-01" in words
    assert "past C-71 was to be used by 2 Jan 2020: no plan counts on it." in words


def test_what_ages_can_be_shown_alone(signed_in, member):
    LotFactory(shop=member.shop, code="OLD", use_by=date(2020, 1, 2))
    LotFactory(shop=member.shop, code="NEW")
    assert on_boards(signed_in(member).get(shelf(member) + "?kind=ageing")) == {"Bottles": ["OLD"]}


def test_a_viewer_sees_no_button_to_bring_something_in(signed_in, member):
    LotFactory(shop=member.shop)
    viewer = MemberFactory(shop=member.shop, role="viewer")
    assert "Something came in" not in words_of(signed_in(viewer).get(shelf(member)))


# how often it asks


def fill(shop, lots):
    """So many of each thing, some wanted, some low, some old."""
    resin = ResinFactory(shop=shop, shelf_months_open=6)
    for _ in range(lots):
        old = {"use_by": date(2020, 1, 1), "opened_on": date(2019, 1, 1)}
        LotFactory(shop=shop, resin=resin, **old)
        LotFactory(shop=shop, resin=resin)
        WoodLotFactory(shop=shop)
        SupplyLotFactory(shop=shop, level="low")
        NeedFactory(project=ProjectFactory(shop=shop), supply=SupplyFactory(shop=shop, unit="pieces"))


@pytest.mark.parametrize("lots", [1, 20])
@pytest.mark.parametrize(
    ("asked", "queries"),
    # session, user, member and shop; then: counts, three boards, lots, resins, wants, lots that serve
    # them, months, ageing and their ledgers, low
    [("", 15), ("?kind=bottles", 13), ("?find=t", 13), ("?kind=ageing", 14)],
)
def test_the_shelf_asks_the_same_of_the_database_however_full_it_is(
    signed_in, member, lots, asked, queries, django_assert_num_queries
):
    fill(member.shop, lots)
    client = signed_in(member)
    with django_assert_num_queries(queries):
        client.get(shelf(member) + asked)
