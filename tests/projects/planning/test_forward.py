from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as some

from materials.science.errors import OutOfRange
from projects.planning.calendar import opening_sessions
from projects.planning.forward import Job, Work, lay_out, on_grid, open_minutes
from tests.projects.planning.shops import BERLIN, week

TUESDAY = datetime(2026, 3, 3, 8, tzinfo=UTC)
SHOP = opening_sessions("UTC", week(8, 17), {}, date(2026, 3, 2), 60)


def at(day, hour, minute=0):
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def planned(jobs, start=TUESDAY, sessions=SHOP):
    found = lay_out(jobs, sessions, start)
    return {name: placed and (placed.start, placed.end) for name, placed in found.items()}


# --- a hand-made example: one lamp in a shop open from eight to five, Monday to Friday ---


def test_a_small_route_laid_out_by_hand():
    """Every instant was worked out on paper from the opening hours."""
    lamp = Job(
        "lamp",
        [
            Work("seal", 75, waits_minutes=8 * 60),  # Tue 08:00–09:15, dry at 17:15, after closing
            Work("load", 60),  # so Wed 08:00–09:00
            Work("pour", 45),  # Wed 09:00–09:45
            Work("cure", 72 * 60, passive=True),  # until Sat 09:45, when the shop is shut
            Work("demould", 20),  # so Mon 9 March 08:00–08:20
            Work("sand", 600),  # longer than any session: Mon 08:20–17:00 is 520 min, Tue 08:00–09:20 is 80
        ],
    )
    assert planned([lamp]) == {
        "seal": (at(3, 8), at(3, 17, 15)),
        "load": (at(4, 8), at(4, 9)),
        "pour": (at(4, 9), at(4, 9, 45)),
        "cure": (at(4, 9, 45), at(7, 9, 45)),
        "demould": (at(9, 8), at(9, 8, 20)),
        "sand": (at(9, 8, 20), at(10, 9, 20)),
    }


def test_a_pour_that_goes_on_as_its_window_opens_waits_for_that_and_for_nothing_before_it():
    lamp = Job("lamp", [Work("saw", 240), Work("pour", 60, began=at(3, 10)), Work("out", 30)])
    assert planned([lamp])["pour"] == (at(3, 10), at(3, 13))
    alone = Job("lamp", [Work("pour", 60, began=at(3, 10)), Work("out", 30)])
    assert planned([alone]) == {"pour": (at(3, 10), at(3, 11)), "out": (at(3, 11), at(3, 11, 30))}


def test_what_is_too_long_for_the_rest_of_a_day_waits_for_the_next():
    assert planned([Job("lamp", [Work("a", 480), Work("b", 90)])])["b"] == (at(4, 8), at(4, 9, 30))


def test_work_that_is_split_says_in_which_hours_it_wants_hands():
    placed = lay_out([Job("lamp", [Work("sand", 600)])], SHOP, TUESDAY)["sand"]
    assert placed.hands_on == ((at(3, 8), at(3, 17)), (at(4, 8), at(4, 9)))


def test_who_is_due_first_has_the_hands_first():
    late = Job("late", [Work("saw late", 60)], date(2026, 5, 1))
    soon = Job("soon", [Work("saw soon", 60)], date(2026, 4, 1))
    never = Job("never", [Work("saw never", 60)])
    found = planned([never, late, soon])
    assert sorted(found, key=found.get) == ["saw soon", "saw late", "saw never"]


def test_hands_are_lent_to_the_next_job_while_one_cures():
    soon = Job("soon", [Work("pour", 60), Work("cure", 300, passive=True), Work("out", 30)], date(2026, 4, 1))
    other = Job("other", [Work("saw", 120)])
    assert planned([soon, other])["saw"] == (at(3, 9), at(3, 11))


def test_equal_jobs_keep_the_order_they_are_given_in():
    jobs = [Job(name, [Work(name, 60)], date(2026, 4, 1)) for name in ("b", "a")]
    assert planned(jobs)["b"] < planned(jobs)["a"]


def test_the_pass_begins_on_full_five_minutes():
    assert planned([Job("lamp", [Work("saw", 60)])], at(3, 8, 2))["saw"] == (at(3, 8, 5), at(3, 9, 5))


def test_what_goes_by_itself_begins_in_the_night_too():
    cures = [Work("a", 60, waits_minutes=600), Work("cure", 60, passive=True)]
    assert planned([Job("lamp", cures)])["cure"] == (at(3, 19), at(3, 20))


def test_without_opening_hours_nothing_for_hands_finds_a_place():
    job = Job("lamp", [Work("dry", 60, passive=True), Work("saw", 60), Work("rest", 60, passive=True)])
    assert planned([job], sessions=[]) == {"dry": (at(3, 8), at(3, 9)), "saw": None, "rest": None}


# --- what is begun already ---


def test_of_what_is_begun_the_rest_is_planned():
    job = Job("lamp", [Work("sand", 240, began=at(2, 16)), Work("oil", 20)])
    # one hour on Monday, three more on Tuesday
    assert planned([job]) == {"sand": (at(2, 16), at(3, 11)), "oil": (at(3, 11), at(3, 11, 20))}


def test_what_should_be_over_is_over_now():
    job = Job("lamp", [Work("load", 30, began=at(2, 9)), Work("pour", 60)])
    assert planned([job])["pour"] == (at(3, 8), at(3, 9))


def test_a_cure_that_runs_ends_when_its_clock_says():
    job = Job("lamp", [Work("cure", 60, passive=True, began=at(2, 9), until=at(4, 11)), Work("out", 20)])
    assert planned([job]) == {"cure": (at(2, 9), at(4, 11)), "out": (at(4, 11), at(4, 11, 20))}


def test_a_cure_that_runs_does_not_wait_for_what_was_left_undone_before_it():
    job = Job(
        "lamp",
        [Work("mark", 600), Work("cure", 60, passive=True, began=at(2, 9), until=at(3, 11)), Work("out", 20)],
    )
    found = planned([job])
    assert (found["cure"][1], found["out"][0]) == (at(3, 11), at(4, 9))


def test_a_clock_that_is_past_holds_nothing_up():
    job = Job("lamp", [Work("cure", 60, passive=True, began=at(2, 9), until=at(2, 10)), Work("out", 20)])
    assert planned([job])["out"] == (at(3, 8), at(3, 8, 20))


def test_a_passive_step_without_a_clock_ends_after_its_minutes():
    job = Job("lamp", [Work("rest", 26 * 60, passive=True, began=at(2, 9))])
    assert planned([job])["rest"] == (at(2, 9), at(3, 11))


# --- clocks that are changed, and what is refused ---


def test_a_cure_over_the_change_of_the_clock_lasts_as_long_as_ever():
    sessions = opening_sessions(
        BERLIN, {day: [(time(8), time(17))] for day in range(7)}, {}, date(2026, 3, 28), 3
    )
    job = Job("lamp", [Work("cure", 15 * 60, passive=True), Work("out", 20)])
    start = datetime(2026, 3, 28, 16, tzinfo=UTC)  # 17:00 on the wall
    found = planned([job], start, sessions)
    assert found["cure"][1] - found["cure"][0] == timedelta(hours=15)
    assert found["out"][0] == datetime(2026, 3, 29, 7, tzinfo=UTC)  # 09:00 on the wall, an hour after opening


@pytest.mark.parametrize(
    "wrong", [{"minutes": -1}, {"minutes": 1, "waits_minutes": -1}, {"minutes": 2_000_000}]
)
def test_times_below_nothing_are_refused(wrong):
    with pytest.raises(OutOfRange, match="it must be from 0 to 1000000 min"):
        Work("saw", **wrong)


def test_a_moment_without_its_zone_is_refused():
    with pytest.raises(ValueError, match="has no time zone"):
        Work("saw", 60, began=datetime(2026, 3, 3))  # noqa: DTZ001


def test_only_the_hours_of_opening_count_as_worked():
    assert open_minutes(SHOP, at(3, 16), at(4, 9)) == 120


# --- properties ---

works = some.builds(
    Work,
    id=some.uuids().map(str),
    minutes=some.integers(0, 1500),
    passive=some.booleans(),
    waits_minutes=some.sampled_from([0, 0, 240]),
)
dates = some.sampled_from([None, date(2026, 3, 10), date(2026, 4, 1)])
all_jobs = some.lists(
    some.builds(Job, id=some.just("j"), steps=some.lists(works, max_size=5), due_on=dates), max_size=5
)
starts = some.integers(0, 20_000).map(lambda minutes: TUESDAY + timedelta(minutes=minutes))
LONG = opening_sessions("UTC", week(8, 17), {}, date(2026, 3, 2), 200)


@given(all_jobs, starts)
def test_hands_are_at_one_place_at_a_time_and_inside_opening_hours(jobs, start):
    pieces = sorted(piece for placed in lay_out(jobs, LONG, start).values() for piece in placed.hands_on)
    assert all(first[1] <= second[0] for first, second in zip(pieces, pieces[1:], strict=False))
    assert all(any(o <= a and b <= c for o, c in LONG) for a, b in pieces)


@given(all_jobs, starts)
def test_each_step_has_its_minutes_after_the_one_before_it(jobs, start):
    found = lay_out(jobs, LONG, start)
    for job in jobs:
        moment = on_grid(start)
        for step in job.steps:
            placed = found[step.id]
            assert placed.start >= moment
            if step.passive:
                assert placed.end - placed.start == timedelta(minutes=step.minutes)
            else:
                worked = sum(((b - a) for a, b in placed.hands_on), timedelta(0))
                assert worked == timedelta(minutes=step.minutes)
            moment = placed.end


@given(all_jobs, starts)
def test_only_what_fits_no_session_is_split(jobs, start):
    found = lay_out(jobs, LONG, start)
    for step in (step for job in jobs for step in job.steps):
        assert len(found[step.id].hands_on) <= 1 or step.minutes > 9 * 60


@given(all_jobs, starts)
def test_a_job_that_is_due_later_moves_nothing(jobs, start):
    later = Job("later", [Work("later", 300)])
    alone, together = lay_out(jobs, LONG, start), lay_out([*jobs, later], LONG, start)
    assert all(together[name] == placed for name, placed in alone.items())


# --- what waits for what ---


def test_a_step_waits_as_long_as_it_says_from_the_end_of_the_work():
    lamp = Job(
        "lamp",
        [
            Work("first", 60, waits_minutes=30),
            Work("other", 60),
            Work("second", 60, after=(("first", 240),)),
        ],
    )
    found = planned([lamp])
    assert found["other"] == (at(3, 9, 30), at(3, 10, 30))
    assert found["second"] == (at(3, 13), at(3, 14))


def test_of_several_waits_the_longest_counts():
    lamp = Job("lamp", [Work("a", 60), Work("b", 60), Work("c", 60, after=(("a", 300), ("b", 10)))])
    assert planned([lamp])["c"][0] == at(3, 14)


def test_a_wait_may_reach_over_a_night_and_what_goes_by_itself_keeps_it_too():
    lamp = Job("lamp", [Work("a", 60), Work("b", 600, passive=True, after=(("a", 720),))])
    assert planned([lamp])["b"] == (at(3, 21), at(4, 7))


def test_what_is_over_already_may_still_ask_for_time():
    lamp = Job("lamp", [Work("a", 60, not_before=at(4, 10))])
    assert planned([lamp])["a"][0] == at(4, 10)


def test_what_was_begun_waits_for_nothing():
    lamp = Job("lamp", [Work("a", 60), Work("b", 120, began=at(3, 8), after=(("a", 600),))])
    assert planned([lamp], start=at(3, 9))["b"] == (at(3, 8), at(3, 11))


def test_what_waits_for_a_step_without_a_place_has_none():
    lamp = Job("lamp", [Work("a", 10**5), Work("b", 60, after=(("a", 5),))])
    assert planned([lamp])["b"] is None


def test_a_wait_for_a_step_of_no_job_says_nothing():
    lamp = Job("lamp", [Work("a", 60, after=(("gone", 600),))])
    assert planned([lamp])["a"][0] == at(3, 8)


def test_a_wait_below_nothing_is_refused():
    with pytest.raises(OutOfRange, match="after"):
        Work("a", 60, after=(("b", -1),))
