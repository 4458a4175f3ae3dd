import pytest

from projects.actions import dry_fit
from projects.models import PieceMark
from projects.panel.rows import design_hash
from tests.factories import AT, Bench, design
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


class Laid(Bench):
    """A bench with a panel of 280 pieces."""

    def __init__(self):
        super().__init__()
        design(self.member, self.project)
        self.version = design_hash(self.project)

    def mark(self, numbers, state="laid", version=None):
        dry_fit.mark(self.member, self.project, numbers, state, version=version or self.version, at=AT)

    def marks(self):
        return dry_fit.marks_of(self.project, self.version)


def test_pieces_are_laid():
    bench = Laid()
    bench.mark([3, 1])
    assert bench.marks() == {1: "laid", 3: "laid"}


def test_a_piece_marked_again_has_one_mark_and_its_last_state():
    bench = Laid()
    bench.mark([1, 2])
    bench.mark([2, 3], "turned")
    assert bench.marks() == {1: "laid", 2: "turned", 3: "turned"}
    assert PieceMark.objects.count() == 3


def test_a_piece_taken_off_is_missing_again():
    bench = Laid()
    bench.mark([1, 2])
    bench.mark([1], "off")
    assert bench.marks() == {2: "laid"}
    assert 1 in dry_fit.unticked(bench.project)


def test_history_says_which_pieces_and_how():
    bench = Laid()
    bench.mark([1, 2, 3, 7], "swapped")
    event = Event.objects.get(verb="laid")
    assert event.target_label == f"{bench.project.code} pieces 1–3, 7"
    assert event.after == {"how": "another piece lies there"}


@pytest.mark.parametrize("numbers", [[], [0], [281], [1, 281]])
def test_a_number_that_is_not_on_the_map_is_refused(numbers):
    bench = Laid()
    with pytest.raises(Refused, match="no piece of that number"):
        bench.mark(numbers)
    assert bench.marks() == {}


def test_a_mark_on_a_map_that_is_no_longer_in_force_is_refused():
    bench = Laid()
    design(bench.member, bench.project, sizes={"side_mm": 50.0})
    with pytest.raises(Refused, match="The design was changed since this map was shown"):
        bench.mark([1])


def test_a_project_without_a_panel_has_no_map_to_mark():
    bench = Bench()
    with pytest.raises(Refused, match="The design was changed"):
        dry_fit.mark(bench.member, bench.project, [1], "laid", version="", at=AT)


# --- what is missing before the glue ---


def test_at_first_every_piece_is_missing():
    assert dry_fit.unticked(Laid().project) == list(range(1, 281))


def test_a_piece_noted_as_turned_or_swapped_is_not_missing():
    bench = Laid()
    bench.mark(list(range(1, 279)))
    bench.mark([279], "turned")
    bench.mark([280], "swapped")
    assert dry_fit.unticked(bench.project) == []


def test_after_a_change_of_the_design_all_of_it_is_missing_again():
    bench = Laid()
    bench.mark(list(range(1, 281)))
    design(bench.member, bench.project, turn_deg=90.0)
    assert len(dry_fit.unticked(bench.project)) > 0


def test_marks_come_back_with_the_design_that_they_belong_to():
    bench = Laid()
    bench.mark([5])
    design(bench.member, bench.project, turn_deg=90.0)
    design(bench.member, bench.project)
    assert bench.marks() == {5: "laid"}


def test_without_a_panel_nothing_is_missing():
    assert dry_fit.unticked(Bench().project) == []


def test_a_mark_belongs_to_its_own_project():
    bench, other = Laid(), Laid()
    bench.mark([1])
    assert dry_fit.marks_of(other.project, other.version) == {}
