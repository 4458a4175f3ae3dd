from datetime import timedelta

from projects.planning.explain import why_not
from projects.planning.network import Cure, Link
from projects.planning.solver import make_plan
from tests.projects.planning.shops import TUESDAY, USUAL, calendar, instance, task, week

HOUR = timedelta(hours=1)


def told(hard, hours=None, open_h=4, close_h=9):
    begun = task("pour 1", 45, fixed_start=TUESDAY + 9 * HOUR)
    link = Link("pour 1", "pour 2", hard=hard, cure=Cure(open_h, close_h), label="recoat window")
    case = instance(
        [begun, task("pour 2", 45)],
        [link],
        climate=USUAL,
        start=TUESDAY + 10 * HOUR,
        calendar=calendar(hours=hours or week()),
    )
    return why_not(link, make_plan(case))


def test_a_missed_window_is_told_with_its_times_on_the_wall():
    assert told(hard=False).startswith(
        "pour 1 ends Tue 03 Mar 16:45; pour 2 must start Tue 21:45 – Wed 04:45 (recoat window). "
        "The earliest the plan can do it is Wed 08:00, 195 min after the window closes."
    )


def test_an_open_face_is_cured_and_sanded():
    assert "So the plan lets it cure and sands before pour 2." in told(hard=False)


def test_a_hard_window_offers_no_sanding():
    words = told(hard=True)
    assert "So pour 2 has no place." in words
    assert "pour in one lift" in words
    assert "sand before" not in words


def test_a_window_that_is_kept_says_that_nothing_stands_against_it():
    assert told(hard=True, close_h=20) == (
        "Nothing stands against it: pour 1 ends Tue 03 Mar 16:45 and pour 2 starts Wed 08:00."
    )


def test_a_step_without_a_place_gives_its_reason():
    link = Link("a", "b")
    plan = make_plan(instance([task("a", 700), task("b")], [link]))
    assert why_not(link, plan) == "a has no place: longer than any opening."


def test_a_step_behind_one_without_a_place_says_so():
    link = Link("b", "c")
    case = instance([task("a", 700), task("b"), task("c")], [Link("a", "b"), link])
    assert why_not(link, make_plan(case)) == "c has no place: something before it has none."


def test_without_a_label_the_window_is_told_without_brackets():
    link = Link("a", "b", 60, 120)
    case = instance([task("a", 60), task("b", 60)], [link], calendar=calendar(hours=week(8, 10)))
    words = why_not(link, make_plan(case))
    assert "()" not in words
