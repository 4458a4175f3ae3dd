from datetime import date, timedelta

import pytest

from materials.models import Lot
from projects import cautions
from projects import sheet_parts as parts
from projects.models import Step
from tests.factories import (
    AT,
    Bench,
    LotFactory,
    MovementFactory,
    NeedFactory,
    SpeciesFactory,
    StepFactory,
    SupplyFactory,
)

pytestmark = pytest.mark.django_db


def bottle(bench, part, grams, **more):
    return LotFactory(shop=bench.shop, resin=bench.resin, part=part, grams=grams, **more)


def only(bench):
    """The bench without its own bottles, so that a test sets out the shelf."""
    Lot.objects.update(removed_at=AT)
    return bench


def bundle(bench, strips, **more):
    values = {"kind": "wood", "part": "", "resin": None, "unit": "strips", "grams": 0}
    lot = LotFactory(shop=bench.shop, **{"species": bench.block.species, **values, **more})
    if strips:
        MovementFactory(shop=bench.shop, lot=lot, thousandths=strips * 1000)
    return lot


def of_walnut(**values):
    """A bench whose block is of a wood."""
    bench = Bench()
    bench.block.species = SpeciesFactory(shop=bench.shop)
    for name, value in values.items():
        setattr(bench.block, name, value)
    bench.block.save()
    return bench


def row(rows, what):
    (found,) = [one for one in rows if what in one["what"]]
    return found


# --- resin ---


def test_both_parts_are_fetched_for_what_is_left_to_mix():
    rows = parts.fetch_list(Bench().block, 290, AT.date())[:2]
    assert [(one["amount"], one["unit"], one["short"]) for one in rows] == [(200, "g", 0), (90, "g", 0)]


def test_nothing_is_fetched_of_a_resin_that_is_all_in():
    assert [one["unit"] for one in parts.fetch_list(Bench().block, 0.0, AT.date())] == ["strips"]


def test_the_bottle_whose_date_comes_first_is_emptied_first():
    bench = only(Bench())
    later = bottle(bench, "A", 500, use_by=date(2027, 1, 1))
    sooner = bottle(bench, "A", 150, use_by=date(2026, 6, 1), place="left")
    lots = row(parts.fetch_list(bench.block, 290, AT.date()), "part A")["lots"]
    assert [(lot["code"], lot["take"]) for lot in lots] == [(sooner.code, 150), (later.code, 50)]
    assert (lots[0]["place"], lots[0]["use_by"]) == ("left", "2026-06-01")


def test_what_the_shelf_can_not_give_is_missing():
    bench = only(Bench())
    bottle(bench, "A", 150)
    found = row(parts.fetch_list(bench.block, 290, AT.date()), "part A")
    assert found["short"] == pytest.approx(50)


def test_an_empty_bottle_is_not_fetched():
    bench = only(Bench())
    bottle(bench, "A", 0)
    assert row(parts.fetch_list(bench.block, 290, AT.date()), "part A")["lots"] == []


# --- strips ---


def test_strips_are_fetched_from_the_bundles_of_their_wood():
    bench = of_walnut(strips=50)
    first, second = bundle(bench, 38), bundle(bench, 60)
    bundle(bench, 60, species=SpeciesFactory(shop=bench.shop))
    found = row(parts.fetch_list(bench.block, 0, AT.date()), "strips")
    assert [(lot["code"], lot["take"]) for lot in found["lots"]] == [(first.code, 38), (second.code, 12)]


def test_strips_of_a_wood_not_chosen_yet_are_missing_with_count_and_size():
    bench = Bench()
    bundle(bench, 60, species=SpeciesFactory(shop=bench.shop))
    found = row(parts.fetch_list(bench.block, 0, AT.date()), "strips")
    assert found["what"] == "Wood not chosen yet, strips"
    assert (found["amount"], found["size_mm"]) == (50, [2, 12, 600])
    assert (found["lots"], found["short"]) == ([], 50)


@pytest.mark.parametrize(
    ("sizes", "fit"),
    [
        ({}, True),
        ({"thickness_mm": 2.2, "width_mm": 12.0, "length_mm": 600.0}, True),
        ({"thickness_mm": 2.4}, False),
        ({"width_mm": 11.9}, False),
        ({"length_mm": 599.0}, False),
    ],
)
def test_a_bundle_that_does_not_fit_the_block_is_not_fetched(sizes, fit):
    bench = of_walnut()  # strips of 2 mm, 600 long, 12 poured
    bundle(bench, 60, **sizes)
    found = row(parts.fetch_list(bench.block, 0, AT.date()), "strips")
    assert bool(found["lots"]) is fit
    assert found["short"] == (0 if fit else 50)


def test_strips_that_are_loaded_are_not_fetched_again():
    bench = of_walnut()
    StepFactory(shop=bench.shop, block=bench.block, kind="load", state="done")
    assert parts.fetch_list(bench.block, 0, AT.date()) == []


def test_strips_under_resin_are_not_fetched_again():
    bench = of_walnut()
    bench.meet()
    bench.pour()
    assert parts.fetch_list(bench.block, 0, AT.date()) == []


# --- what was written in, and what is at hand ---


def test_what_was_written_in_is_fetched_too():
    bench = Bench()
    oil = SupplyFactory(shop=bench.shop, kind="finish", name="Hard oil", unit="ml")
    tin = LotFactory(shop=bench.shop, kind="finish", supply=oil, resin=None, part="", unit="ml", grams=200)
    NeedFactory(shop=bench.shop, project=bench.project, supply=oil, thousandths=250_000, unit="ml")
    found = row(parts.fetch_list(bench.block, 0, AT.date()), "Hard oil")
    assert (found["lots"][0]["code"], found["short"], found["kind"]) == (tin.code, 50, "volume")


def test_what_a_block_wants_by_itself_is_not_fetched_twice():
    bench = Bench()
    wanted = {"resin": bench.resin, "part": "A", "thousandths": 1000, "unit": "g"}
    NeedFactory(shop=bench.shop, project=bench.project, block=bench.block, source="block", **wanted)
    assert [one["unit"] for one in parts.fetch_list(bench.block, 0, AT.date())] == ["strips"]


def test_tape_and_the_like_stand_at_hand_with_their_place():
    bench = Bench()
    tape = SupplyFactory(shop=bench.shop, kind="consumable", name="Release tape")
    values = {"kind": "consumable", "resin": None, "part": "", "unit": "level", "grams": 0}
    LotFactory(shop=bench.shop, supply=tape, level="low", place="drawer 2", **values)
    LotFactory(
        shop=bench.shop,
        supply=SupplyFactory(shop=bench.shop, kind="consumable", name="Wax"),
        level="gone",
        **values,
    )
    (found,) = parts.at_hand(bench.shop)
    assert (found["what"], found["place"], found["low"]) == ("Release tape", "drawer 2", True)


@pytest.mark.parametrize(("level", "short"), [("enough", 0), ("low", 0), ("gone", 1)])
def test_of_tape_and_the_like_there_is_some_or_none(level, short):
    bench = Bench()
    tape = SupplyFactory(shop=bench.shop, kind="consumable", name="Release tape")
    values = {"kind": "consumable", "resin": None, "part": "", "unit": "level", "grams": 0}
    LotFactory(shop=bench.shop, supply=tape, level=level, **values)
    NeedFactory(shop=bench.shop, project=bench.project, supply=tape, thousandths=1000, unit="level")
    found = row(parts.fetch_list(bench.block, 0, AT.date()), "Release tape")
    assert (found["kind"], found["short"]) == ("some", short)


def test_a_bottle_past_its_last_day_is_not_fetched():
    bench = Bench()
    bench.lot_a.use_by = AT.date() - timedelta(days=1)
    bench.lot_a.save()
    found = row(parts.fetch_list(bench.block, 290, AT.date()), "part A")
    assert (found["lots"], found["short"]) == ([], pytest.approx(200))


# --- the mould and its cups ---


def test_what_lies_in_the_mould_is_told_and_taken_off_what_is_wanted():
    bench = Bench()
    bench.weigh_b(bench.meet(), grams=142)
    bench.pour(depth_mm=6)
    found = parts.in_the_mould(bench.block)
    (pour,) = found["pours"]
    assert (pour["lift"], pour["depth_mm"], pour["mixed_g"]) == (1, 6, 456.5)
    assert found["poured_g"] == 456.5
    assert found["left_g"] == pytest.approx(1022.729 - 456.5, abs=0.01)  # worked in test_advice.py


def test_the_last_drop_is_no_cup():
    bench = Bench()
    bench.weigh_b(bench.meet(a_g=705.0), grams=317.4)  # of 1022.729 g
    bench.pour()
    assert parts.in_the_mould(bench.block)["left_g"] == 0


@pytest.mark.parametrize(("left_g", "cups"), [(0, 0), (99, 1), (100, 1), (101, 2), (450, 5), (5000, 6)])
def test_no_cup_holds_more_than_the_pot_life_is_for_up_to_six_cups(left_g, cups):
    found = parts.cups_for(Bench(pot_mass_g=100).resin, left_g)
    assert len(found) == cups
    assert sum(cup["a_g"] + cup["b_g"] for cup in found) == pytest.approx(left_g)


# --- steps ---


def test_steps_come_in_their_order_without_those_of_another_block():
    bench = Bench()
    later = StepFactory(shop=bench.shop, block=bench.block, kind="sand", title="Sand", position=5)
    whole = Step.objects.create(
        shop=bench.shop, created_at=AT, project=bench.project, kind="pack", title="Pack", position=9
    )
    other = type(bench.block).objects.create(
        shop=bench.shop, created_at=AT, project=bench.project, position=1
    )
    StepFactory(shop=bench.shop, block=other, title="Pour block B")
    StepFactory(shop=bench.shop, block=bench.block, title="Gone", removed_at=AT)
    found = [step["title"] for step in parts.step_rows(bench.block)]
    assert found == [bench.step.title, later.title, whole.title]


def test_a_step_says_whose_it_is_and_when():
    bench = Bench()
    Step.objects.update(assignee=bench.member, planned_start=AT, people=2, state="done", ended_at=AT)
    (found,) = parts.step_rows(bench.block)
    assert (found["whose"], found["planned"], found["people"]) == ("Ines", AT.isoformat(), 2)
    assert (found["state"], found["ended_at"]) == ("done", AT.isoformat())


def test_cautions_are_those_of_the_work_to_come():
    bench = Bench()
    for kind, state in (("sand", "to_do"), ("coat", "done"), ("cut", "skipped"), ("level", "to_do")):
        StepFactory(shop=bench.shop, block=bench.block, kind=kind, state=state)
    # of the pour what is not on every sheet anyway, then sanding and levelling, which share theirs
    found = parts.cares_of(parts.step_rows(bench.block))
    assert found == [cautions.WARM, cautions.DUST, cautions.COOL]


@pytest.mark.parametrize("size", [1, 5])
def test_gathering_asks_the_database_as_often_for_many_steps_as_for_one(size, django_assert_num_queries):
    bench = of_walnut()
    for _ in range(size):
        StepFactory(shop=bench.shop, block=bench.block)
        bundle(bench, 60)
    block = (
        type(bench.block).objects.select_related("shop", "project", "resin", "species").get(pk=bench.block.pk)
    )
    with django_assert_num_queries(10):
        parts.fetch_list(block, 290, AT.date())
        parts.step_rows(block)
        parts.at_hand(block.shop)
