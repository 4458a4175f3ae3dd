"""History only grows, and says who, what, from what and to what."""

from datetime import date
from decimal import Decimal

import pytest

from tests.factories import AT, MemberFactory, ResinFactory
from workshop import history
from workshop.models import Event
from workshop.models.records import AppendOnly

pytestmark = pytest.mark.django_db


def line(**more):
    member = MemberFactory()
    return history.record(member, "changed", member, at=AT, label="Ines", **more)


def test_a_line_says_who_did_what_to_what_and_when():
    event = line()
    assert (event.actor.name, event.verb, event.target_label, event.at) == ("Ines", "changed", "Ines", AT)


def test_a_line_says_from_what_to_what_and_why():
    event = Event.objects.get(pk=line(before={"day_c": 20}, after={"day_c": 18}, why="a cold week").pk)
    assert (event.before, event.after, event.why) == ({"day_c": 20}, {"day_c": 18}, "a cold week")


def test_a_line_belongs_to_the_shop_of_its_target():
    event = line()
    assert event.shop == event.actor.shop


def test_a_line_without_a_member_is_the_programs_own():
    resin = ResinFactory()
    event = history.record(None, "brought in", resin, at=AT, label=resin.name)
    assert (event.actor, event.created_by) == (None, None)


def test_a_long_label_is_cut_to_its_column():
    member = MemberFactory()
    assert len(history.record(member, "noted", member, at=AT, label="x" * 500).target_label) == 160


def test_a_line_is_never_changed():
    event = line()
    event.verb = "never happened"
    with pytest.raises(AppendOnly, match="Event rows are never changed"):
        event.save()


def test_a_line_is_never_deleted():
    with pytest.raises(AppendOnly, match="Event rows are never deleted"):
        line().delete()


def test_many_lines_are_never_changed():
    line()
    with pytest.raises(AppendOnly, match="Event rows are never changed"):
        Event.objects.all().update(verb="never happened")


def test_many_lines_are_never_deleted():
    line()
    with pytest.raises(AppendOnly, match="Event rows are never deleted"):
        Event.objects.filter(verb="changed").delete()


def test_the_lines_about_a_thing_stand_newest_first():
    resin = ResinFactory()
    for verb in ("added", "changed"):
        history.record(MemberFactory(shop=resin.shop), verb, resin, at=AT, label="Tarn 90")
    line()
    assert [event.verb for event in Event.objects.about(resin.key)] == ["changed", "added"]


def test_changes_hold_only_what_differs():
    resin = ResinFactory(name="Tarn 90", maker="", min_c=None)
    before, after = history.changes(resin, {"name": "Tarn 90", "maker": "Tarn", "min_c": 15.0})
    assert (before, after) == ({"maker": "", "min_c": None}, {"maker": "Tarn", "min_c": 15.0})


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        (None, None),
        (True, True),
        (2.5, 2.5),
        ("x", "x"),
        (Decimal("12.50"), "12.50"),
        (date(2026, 3, 1), "2026-03-01"),
    ],
)
def test_values_are_kept_as_json_can_hold_them(value, kept):
    assert history.plain(value) == kept
