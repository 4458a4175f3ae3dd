from datetime import timedelta

import pytest

from projects import fold
from projects.actions import log, sanding
from projects.models import LogEntry, SandingSession, Step
from tests.factories import AT, Bench, StepFactory, key, moment
from tests.projects.threads import at_once
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


class Sand(Bench):
    """A step at which the panel is sanded."""

    def __init__(self):
        super().__init__()
        self.sand_step = StepFactory(shop=self.shop, block=self.block, kind="sand", title="Sand")

    def start(self, grade="120", minutes=0, system="P", side="front", **more):
        values = {"grade": grade, "system": system, "wet": False, "machine": None, "side": side}
        return sanding.start(
            self.member,
            self.sand_step,
            {**values, "area_mm2": 240_000.0, **more},
            key=key(),
            moment=moment(minutes),
        )

    def pause(self, session, minutes):
        return sanding.pause(self.member, session, key=key(), moment=moment(minutes))

    def resume(self, session, minutes):
        return sanding.resume(self.member, session, key=key(), moment=moment(minutes))

    def stop(self, session, minutes, **values):
        return sanding.stop(self.member, session, values, key=key(), moment=moment(minutes))


def test_a_session_keeps_its_grade_with_the_system():
    session = Sand().start("320", system="CAMI")
    assert (session.grade, session.system, str(session)) == ("320", "CAMI", "CAMI 320, front")


def test_a_session_begins_its_step_and_a_stop_that_is_the_last_ends_it():
    bench = Sand()
    session = bench.start()
    assert bench.sand_step.state == Step.State.UNDER_WAY
    bench.stop(session, 20, discs=3, removed_mm=0.1, done=True)
    assert Step.objects.get(pk=bench.sand_step.pk).state == Step.State.DONE


def test_a_stop_keeps_discs_and_what_came_off():
    bench = Sand()
    bench.stop(bench.start(), 20, discs=3, removed_mm=0.1)
    session = SandingSession.objects.get()
    assert (session.discs, session.removed_mm, session.ended_at) == (3, 0.1, AT + timedelta(minutes=20))


def test_pauses_are_kept_as_instants():
    bench = Sand()
    session = bench.start()
    bench.pause(session, 10)
    bench.resume(session, 15)
    bench.pause(session, 20)
    assert SandingSession.objects.get().pauses == [
        ["2026-03-10T09:10:00+00:00", "2026-03-10T09:15:00+00:00"],
        ["2026-03-10T09:20:00+00:00", None],
    ]


def test_a_stop_ends_a_pause_that_lasts():
    bench = Sand()
    session = bench.start()
    bench.pause(session, 10)
    bench.stop(session, 12)
    assert SandingSession.objects.get().pauses[0][1] == "2026-03-10T09:12:00+00:00"


def test_a_pause_that_arrives_after_the_stop_is_put_where_it_happened():
    bench = Sand()
    session = bench.start()
    bench.stop(session, 30)
    bench.pause(session, 10)
    row = SandingSession.objects.get()
    assert (row.ended_at, row.pauses) == (
        AT + timedelta(minutes=30),
        [["2026-03-10T09:10:00+00:00", "2026-03-10T09:30:00+00:00"]],
    )


def test_folding_the_log_gives_the_row_again():
    bench = Sand()
    session = bench.start()
    bench.pause(session, 10)
    bench.resume(session, 15)
    bench.stop(session, 30)
    row = SandingSession.objects.get()
    times = fold.sanding_times(sanding.happened_in(row))
    assert (times.started_at, times.ended_at) == (row.started_at, row.ended_at)
    assert len(times.pauses) == len(row.pauses) == 1


def test_a_second_start_on_the_same_side_is_refused():
    bench = Sand()
    bench.start()
    with pytest.raises(Refused, match="P120, front is still going on. Stop it"):
        bench.start("180", minutes=5)
    assert LogEntry.objects.filter(kind="sand").count() == 1


def test_the_other_side_may_be_sanded_meanwhile():
    bench = Sand()
    bench.start()
    assert bench.start(side="back", minutes=5).side == "back"


@pytest.mark.django_db(transaction=True)
def test_of_two_starts_at_once_one_is_refused():
    bench = Sand()
    found = at_once(bench.start, bench.start)
    assert sorted(isinstance(each, Refused) for each in found) == [False, True]


@pytest.mark.parametrize(
    ("acts", "sentence"),
    [
        (["pause", "pause"], "rests already"),
        (["resume"], "runs already"),
        (["stop", "stop"], "was stopped already"),
        (["stop", "pause"], "rests already, or it was stopped"),
    ],
)
def test_an_act_that_would_change_nothing_is_refused(acts, sentence):
    bench = Sand()
    session = bench.start()
    for minutes, act in enumerate(acts[:-1], start=10):
        getattr(bench, act)(session, minutes)
    with pytest.raises(Refused, match=sentence):
        getattr(bench, acts[-1])(session, 20)


def test_a_grade_without_its_system_is_refused():
    with pytest.raises(Refused, match="P400 or CAMI 400, whose grains differ"):
        Sand().start("400", system="")


def test_a_grade_that_no_table_knows_is_refused():
    with pytest.raises(Refused, match="No table knows the grade “777”"):
        Sand().start("777")


def test_a_grade_of_the_other_system_is_refused():
    with pytest.raises(Refused, match="CAMI 320 is no grade of P"):
        Sand().start("CAMI 320")


def test_a_grade_without_a_published_size_is_stored_and_the_log_says_so():
    entry = Sand().start("3000").entry
    assert entry.detail["grain_um"] is None
    assert "No published size of the grains of P3000 was found." in entry.text


def test_a_jump_over_grades_is_pointed_out_and_stored():
    bench = Sand()
    bench.stop(bench.start("80"), 20)
    entry = bench.start("180", minutes=30).entry
    # 201 µm to 82 µm: 2.45 times (FEPA 43)
    assert entry.detail["jump"]["after"] == "P80"
    assert round(entry.detail["jump"]["ratio"], 2) == 2.45
    assert "From P80 to P180 the grains get 2.5 times finer" in entry.text


@pytest.mark.parametrize(("grade", "side"), [("120", "front"), ("180", "back"), ("60", "front")])
def test_a_usual_step_another_side_or_a_way_back_is_no_jump(grade, side):
    bench = Sand()
    bench.stop(bench.start("80"), 20)  # P80 to P120 is 1.61 times
    assert bench.start(grade, minutes=30, side=side).entry.detail["jump"] is None


def test_a_jump_counts_from_the_step_before_too():
    bench = Sand()
    bench.stop(bench.start("80"), 20)
    bench.sand_step = StepFactory(shop=bench.shop, block=bench.block, kind="sand", title="Sand on")
    assert bench.start("240", minutes=30).entry.detail["jump"]["after"] == "P80"


def test_the_state_of_the_step_is_the_same_when_its_log_is_folded_again():
    bench = Sand()
    bench.stop(bench.start(), 20, done=True)
    Step.objects.filter(pk=bench.sand_step.pk).update(state="to_do", ended_at=None)
    assert log.follow(Step.objects.get(pk=bench.sand_step.pk)).state == Step.State.DONE
