"""A glue-up in parts, by how quickly the maker places pieces."""

from types import SimpleNamespace

import numpy as np
import pytest

from projects import gluing
from projects.actions import bench, glue
from projects.models import Timer
from projects.panel.rows import kept_of
from tests.factories import Bench, StepFactory, design, key, moment

pytestmark = pytest.mark.django_db
USUAL = gluing.Pace(3.5, 0, False)


class Gluer(Bench):
    """A shop that glued some parts, each in so many minutes."""

    def glued(self, pieces, lasts, how="all of it in the clamps", open_min=40.0):
        step = StepFactory(shop=self.shop, block=self.block, kind="glue_up", title="Glue up")
        values = {"part": "x", "pieces": pieces, "open_min": open_min, "clamped_h": 12.0, "temp_c": 20.0}
        glue.glue_up(self.member, step, {**values, "text": "", "done": True}, key=key(), moment=moment())
        timer = Timer.objects.get(step=step, kind="glue")
        bench.settle(self.member, timer, how, key=key(), moment=moment(lasts))


def test_without_glue_ups_the_pace_is_the_usual_one():
    pace = gluing.pace_of(Bench().shop)
    assert (pace.per_minute, pace.records, pace.own) == (pytest.approx(3.5), 0, False)


def test_four_glue_ups_are_too_few_to_say():
    gluer = Gluer()
    for _ in range(4):
        gluer.glued(20, 20)
    pace = gluing.pace_of(gluer.shop)
    assert (pace.per_minute, pace.records, pace.own) == (pytest.approx(3.5), 4, False)


def test_five_glue_ups_are_drawn_towards_the_usual():
    gluer = Gluer()
    for _ in range(5):
        gluer.glued(20, 20)
    pace = gluing.pace_of(gluer.shop)
    assert pace.per_minute == pytest.approx(1 / ((1 + 1 / 3.5) / 2))
    assert (pace.records, pace.own) == (5, True)


@pytest.mark.parametrize(
    ("pieces", "lasts", "how"),
    [
        (None, 20, "in the clamps"),
        (20, 0, "in the clamps"),
        (20, 3000, "in the clamps"),
        (20, 20, gluing.OTHER_PART),
    ],
)
def test_what_says_nothing_of_the_pace_does_not_count(pieces, lasts, how):
    gluer = Gluer()
    gluer.glued(pieces, lasts, how)
    assert gluing.pace_of(gluer.shop).records == 0


def test_the_open_time_is_that_of_the_last_glue_up():
    gluer = Gluer()
    assert gluing.open_minutes(gluer.shop) == 40
    gluer.glued(20, 20, open_min=25.0)
    assert gluing.open_minutes(gluer.shop) == 25


def test_the_pace_of_another_shop_does_not_count():
    gluer = Gluer()
    for _ in range(5):
        gluer.glued(20, 20)
    assert gluing.pace_of(Bench().shop).records == 0


def test_what_the_next_part_ended_is_what_the_bench_writes():
    gluer = Gluer()
    step = StepFactory(shop=gluer.shop, block=gluer.block, kind="glue_up", title="Glue up")
    values = {"part": "x", "pieces": 9, "open_min": 40.0, "clamped_h": None, "temp_c": 20.0}
    for minutes in (0, 30):
        glue.glue_up(gluer.member, step, values, key=key(), moment=moment(minutes))
    assert Timer.objects.filter(step=step, kind="glue", settled_how=gluing.OTHER_PART).count() == 1


# --- parts ---


@pytest.fixture
def kept():
    bench = Bench()
    design(bench.member, bench.project)
    return kept_of(bench.project)


@pytest.mark.parametrize("way", ["rows", "rings", "quarters"])
def test_every_piece_is_in_one_part_and_each_part_in_the_open_time(kept, way):
    [found] = [one for one in gluing.proposals(kept.design, USUAL, 10) if one.way == way]
    assert sum(part.pieces for part in found.parts) == len(kept.panel.number)
    assert all(0 < part.pieces <= 0.7 * 10 * 3.5 for part in found.parts)
    assert len({part.title for part in found.parts}) == len(found.parts)


def test_glue_that_is_stiff_at_once_makes_no_parts(kept):
    found = gluing.proposals(kept.design, gluing.Pace(0.1, 9, True), 1)
    assert all(not one.parts and "Take a slower one" in one.why for one in found)


def test_pieces_are_counted_in_the_quarter_of_their_middle(kept):
    found = SimpleNamespace(middle_mm=np.array([[0, 10], [1, 10], [10, 10], [0, 0]]))
    assert gluing.quarters(found) == [2, 1, 1, 0]
    first = SimpleNamespace(middle_mm=kept.panel.middle_mm[[0, -1]])
    assert gluing.quarters(first) == [1, 0, 0, 1]  # pieces are numbered from the upper left


@pytest.mark.parametrize(
    ("way", "first", "last", "said"),
    [
        ("rows", 2, 2, "row 2"),
        ("rows", 1, 4, "rows 1–4"),
        ("quarters", 1, 1, "upper left quarter"),
        ("quarters", 1, 2, "upper left and upper right quarters"),
    ],
)
def test_groups_are_said_as_people_say_them(way, first, last, said):
    assert gluing.name_of(way, "Rows", first, last) == said


def test_a_part_takes_its_pieces_and_the_setting_up():
    found = gluing.proposal("rows", "Rows", [70], USUAL, 60)
    assert [(part.title, part.minutes) for part in found.parts] == [("Glue up, row 1: 70 pieces", 15 + 20)]


def test_a_row_too_long_for_the_glue_says_which_half_it_is():
    found = gluing.proposal("rows", "Rows", [100], USUAL, 40)
    assert [part.name for part in found.parts] == ["row 1 (1 of 2)", "row 1 (2 of 2)"]
