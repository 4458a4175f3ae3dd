"""The calendar that a program reads: what is in it, how changes are told, and that two readers read it."""

from datetime import UTC, datetime, timedelta

import icalendar
import pytest
import vobject

from projects.actions import bench as acts
from projects.actions import free_clock, readings, work
from projects.feed import ical, kept
from projects.feed.events import events_of
from projects.models import FeedItem, Step, Timer
from tests.factories import AT, Bench, MemberFactory, StepFactory, key, moment
from workshop.changes import feeds

pytestmark = pytest.mark.django_db
ROOT = "http://testserver/s/x/"


class Feed:
    """A member's calendar at the bench."""

    def __init__(self, bench):
        self.bench, self.member = bench, bench.member
        self.link = feeds.make(self.member, key=key(), at=AT)

    def text(self, minutes=0):
        at = AT + timedelta(minutes=minutes)
        items = kept.bring_up(self.link, events_of(self.member, at), at)
        return ical.calendar_of(items, name="Tallow Yard", root=ROOT).decode()

    def events(self, minutes=0):
        """By summary, as one reader reads it."""
        calendar = icalendar.Calendar.from_ical(self.text(minutes))
        return {str(event["summary"]): event for event in calendar.walk("VEVENT")}


def planned(bench, title="Load strips", hours=24, **more):
    start = AT + timedelta(hours=hours)
    return StepFactory(
        shop=bench.shop, block=bench.block, kind="load", title=title, planned_start=start,
        planned_end=start + timedelta(minutes=90), **more,
    )  # fmt: skip


def poured():
    bench = Bench()
    bench.weigh_b(bench.meet(room_c=25.0))
    bench.pour(minutes=10)
    return bench


# --- what is in it ---


def test_planned_work_is_an_event_from_start_to_end():
    bench = Bench()
    step = planned(bench)
    event = Feed(bench).events()[f"Load strips · {bench.project}"]
    assert (event.start, event.end) == (step.planned_start, step.planned_end)
    assert (event["status"], event["sequence"]) == ("CONFIRMED", 0)
    assert str(event["url"]) == f"{ROOT}bench/{step.key}/"
    assert [part.name for part in event.subcomponents] == []


def test_work_without_a_date_is_left_out():
    assert Feed(Bench()).events() == {}


def test_the_work_of_others_stays_out_of_it():
    bench = Bench()
    planned(bench, "Mine", assignee=bench.member)
    planned(bench, "Nobody's")
    planned(bench, "Joris's", assignee=MemberFactory(shop=bench.shop, name="Joris"))
    assert {name.split(" · ")[0] for name in Feed(bench).events()} == {"Mine", "Nobody's"}


def test_another_shops_work_stays_out_of_it():
    planned(Bench())
    assert Feed(Bench()).events() == {}


def test_work_that_was_done_stands_where_it_was_done():
    bench = Bench()
    step = planned(bench, hours=1)
    feed = Feed(bench)
    uid = feed.events()[f"Load strips · {bench.project}"]["uid"]
    work.tell(bench.member, step, "began", key=key(), moment=moment(30))
    work.tell(bench.member, step, "done", key=key(), moment=moment(75))
    event = feed.events(minutes=80)[f"Load strips, done · {bench.project}"]
    assert (event["uid"], event.start, event.end) == (
        uid, AT + timedelta(minutes=30), AT + timedelta(minutes=75),
    )  # fmt: skip


def test_a_window_is_an_event_with_an_alarm_as_it_opens_and_one_before_it_closes():
    bench = poured()  # 4 h and 14 h at the sheet's own warmth
    event = Feed(bench).events()[f"Next pour may go on: Next pour on Block A · {bench.project}"]
    begun = AT + timedelta(minutes=10)
    assert (event.start, event.end) == (begun + timedelta(hours=4), begun + timedelta(hours=14))
    alarms = [part["trigger"].dt for part in event.subcomponents]
    assert alarms == [timedelta(0), timedelta(hours=9)]
    assert {str(part["action"]) for part in event.subcomponents} == {"DISPLAY"}


def test_a_clock_is_an_event_at_its_end_with_an_alarm():
    bench = poured()
    event = Feed(bench).events()[f"Block A cures · {bench.project}"]
    assert event.start == AT + timedelta(minutes=10, hours=24)
    assert [part["trigger"].dt for part in event.subcomponents] == [timedelta(0)]


def test_a_pot_life_is_over_before_a_calendar_asks_and_is_left_out():
    bench = Bench()
    bench.meet()
    assert Feed(bench).events() == {}


def test_a_clock_of_the_shop_has_no_project():
    bench = Bench()
    free_clock.set_clock(bench.member, name="Glass arrives", minutes=600, key=key(), moment=moment())
    assert list(Feed(bench).events()) == ["Glass arrives"]


# --- how changes are told ---


def test_nothing_changed_is_told_in_the_same_bytes_and_writes_nothing(django_assert_num_queries):
    feed = Feed(poured())
    first = feed.text()
    with django_assert_num_queries(3):
        assert feed.text(minutes=5) == first


def test_a_clock_that_a_reading_moves_keeps_its_uid_and_counts_up():
    bench = poured()
    feed, name = Feed(bench), f"Block A cures · {bench.project}"
    before = feed.events(20)[name]
    values = {"kind": "temperature", "value": 35.0, "text": ""}
    readings.take_reading(bench.member, values, key=key(), moment=moment(70))
    after = feed.events(80)[name]
    assert after["uid"] == before["uid"]
    assert (before["sequence"], after["sequence"]) == (0, 1)
    assert after.start < before.start
    assert after["dtstamp"].dt == AT + timedelta(minutes=80)


def test_work_that_is_skipped_is_called_off_with_its_uid():
    bench = Bench()
    step = planned(bench)
    feed, name = Feed(bench), f"Load strips · {bench.project}"
    uid = feed.events()[name]["uid"]
    work.skip(bench.member, step, "no strips", key=key(), moment=moment(5))
    event = feed.events(10)[name]
    assert (event["uid"], event["status"], event["sequence"]) == (uid, "CANCELLED", 1)


def test_a_clock_that_is_answered_before_it_rings_is_called_off_and_rings_no_more():
    bench = poured()
    feed = Feed(bench)
    feed.text(20)
    recoat = Timer.objects.get(kind="recoat")
    acts.settle(bench.member, recoat, "none is wanted", key=key(), moment=moment(60))
    event = feed.events(70)[f"Next pour may go on: Next pour on Block A · {bench.project}"]
    assert (event["status"], event.subcomponents) == ("CANCELLED", [])


def test_a_clock_that_is_answered_after_it_rang_stays_without_its_alarm():
    bench = poured()
    feed, name = Feed(bench), f"Block A cures · {bench.project}"
    feed.text(20)
    acts.settle(bench.member, Timer.objects.get(kind="demould"), "hard", key=key(), moment=moment(1500))
    event = feed.events(1510)[name]
    assert (event["status"], event["sequence"], event.subcomponents) == ("CONFIRMED", 1, [])


def test_what_was_called_off_and_stands_again_is_the_same_event():
    bench = Bench()
    step = planned(bench)
    feed, name = Feed(bench), f"Load strips · {bench.project}"
    uid = feed.events()[name]["uid"]
    work.skip(bench.member, step, "no strips", key=key(), moment=moment(5))
    feed.text(10)
    work.reopen(bench.member, step, key=key(), moment=moment(20), text="")
    event = feed.events(30)[name]
    assert (event["uid"], event["status"], event["sequence"]) == (uid, "CONFIRMED", 2)


def test_what_was_called_off_is_told_for_a_month():
    bench = Bench()
    feed, step = Feed(bench), planned(bench)
    feed.text()
    Step.objects.filter(pk=step.pk).update(removed_at=AT)
    day = 24 * 60
    assert len(feed.events(day)) == 1
    assert len(feed.events(30 * day)) == 1
    assert len(feed.events(32 * day)) == 0
    assert FeedItem.objects.count() == 0


# --- two independent readers ---


def test_one_reader_finds_no_fault_in_it():
    bench = poured()
    planned(bench, "Saw; turn, and “glue”\nit")
    calendar = icalendar.Calendar.from_ical(Feed(bench).text())
    assert calendar.errors == []
    assert [event.errors for event in calendar.walk("VEVENT")] == [[], [], []]
    assert (str(calendar["version"]), str(calendar["x-wr-calname"])) == ("2.0", "Tallow Yard")


def test_another_reader_reads_the_same():
    bench = poured()
    planned(bench, "Saw; turn, and “glue” it, which is a long title that has to be folded somewhere")
    feed = Feed(bench)
    text = feed.text()
    theirs = {
        each.uid.value: (
            each.summary.value,
            each.dtstart.value.astimezone(UTC),
            each.dtend.value.astimezone(UTC),
            int(each.sequence.value),
            each.status.value,
            sorted(alarm.trigger.value for alarm in each.contents.get("valarm", [])),
        )
        for each in vobject.readOne(text).vevent_list
    }
    ours = {
        str(each["uid"]): (
            str(each["summary"]),
            each.start.astimezone(UTC),
            each.end.astimezone(UTC),
            each["sequence"],
            str(each["status"]),
            sorted(alarm["trigger"].dt for alarm in each.subcomponents),
        )
        for each in icalendar.Calendar.from_ical(text).walk("VEVENT")
    }
    assert theirs == ours
    assert len(theirs) == 3


def test_its_lines_are_as_the_standard_wants_them():
    bench = poured()
    planned(bench, "ä" * 90)
    data = Feed(bench).text().encode()
    lines = data.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(len(line) for line in lines) <= 75
    assert b"\n" not in data.replace(b"\r\n", b"")


def test_times_are_instants_in_utc():
    bench = Bench()
    planned(bench)
    at = datetime(2026, 3, 11, 9, 0, tzinfo=UTC)
    assert f"DTSTART:{at:%Y%m%dT%H%M%SZ}" in Feed(bench).text()
