"""A further block of a project: its figures, its steps, what it wants of the shelf, and the way back."""

import pytest

from projects.actions import blocks, dates, plan, route
from projects.actions import panel as panels
from projects.default_route import PIECE
from projects.models import Block, Need, Step
from projects.panel import casting
from tests.factories import AT, Bench, SpeciesFactory, design
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


class Piece(Bench):
    """A project with the whole usual route."""

    def __init__(self):
        super().__init__()
        made = {"title": "Fanlight", "due_on": None, "resin": self.resin}
        self.project = plan.begin_project(self.member, **made, at=AT)
        self.a = self.project.blocks.get()
        plan.keep_block(self.member, self.a, {"species": SpeciesFactory(shop=self.shop)}, at=AT)

    def more(self):
        block, _ = blocks.add_block(self.member, self.project, at=AT)
        return block

    def titles(self):
        return [step.title for step in route.in_place(self.project)]

    def undo(self):
        return route.undo(self.member, self.project, at=AT)


@pytest.fixture
def piece():
    return Piece()


def test_it_is_cast_like_the_last_one(piece):
    plan.keep_block(piece.member, piece.a, {"strip_mm": 3.0, "length_mm": 480.0}, at=AT)
    b = piece.more()
    assert (b.letter, b.strip_mm, b.length_mm) == ("B", 3.0, 480.0)
    assert (b.species, b.resin) == (piece.a.species, piece.resin)


def test_it_has_the_usual_steps_of_a_block(piece):
    b = piece.more()
    kinds = list(Step.objects.filter(block=b).in_order().values_list("kind", flat=True))
    assert kinds == [line.kind for line in PIECE if line.of_block]


def test_its_steps_stand_behind_those_of_the_block_before(piece):
    piece.more()
    titles = piece.titles()
    first = titles.index("Set the strips out, block B")
    assert titles[first - 1] == "Cut the pieces"
    assert titles[first + 17 : first + 19] == ["Cut the pieces, block B", "Dry fit"]
    assert "Pour block B" in titles


def test_each_step_names_its_block(piece):
    piece.more()
    doubled = [title for title in piece.titles() if piece.titles().count(title) > 1]
    # what the usual route of one block says twice by itself
    assert doubled == []


def test_its_steps_have_checklists(piece):
    b = piece.more()
    assert Step.objects.get(block=b, kind="pour").checks.count() == 5


def test_it_wants_its_own_of_the_shelf(piece):
    b = piece.more()
    own = {(need.part, need.unit): need.thousandths for need in Need.objects.filter(block=piece.a)}
    assert {(need.part, need.unit): need.thousandths for need in Need.objects.filter(block=b)} == own
    assert len(own) == 3


def test_its_steps_are_laid_out_in_time_with_the_rest(piece):
    b = piece.more()
    dates.lay_out(piece.member, at=AT)
    assert not Step.objects.filter(block=b, planned_start=None).exists()


def test_history_says_who_added_it(piece):
    b = piece.more()
    event = Event.objects.get(target_key=b.key)
    assert (event.verb, event.target_label) == ("added the block", f"{piece.project.code} Block B")


def test_blocks_go_on_through_the_letters(piece):
    assert [piece.more().letter for _ in range(3)] == ["B", "C", "D"]


def test_after_z_there_is_no_letter(piece):
    Block.objects.filter(pk=piece.a.pk).update(position=25)
    with pytest.raises(Refused, match="26 blocks at most"):
        piece.more()


# --- with a panel ---


def worked_panel(piece):
    """Nested squares: three blocks of 50 strips and one of 18."""
    for name, value in {"finished_mm": 10.0}.items():
        plan.keep_block(piece.member, piece.a, {name: value}, at=AT)
    design(piece.member, piece.project)


def test_the_panel_wants_one_block_less_with_each(piece):
    worked_panel(piece)
    before = casting.more_blocks(piece.project)
    piece.more()
    assert (before, casting.more_blocks(piece.project)) == (3, 2)


def test_the_last_one_is_as_wide_as_the_panel_takes_it(piece):
    worked_panel(piece)
    assert [piece.more().strips for _ in range(3)] == [50, 50, 18]


def test_another_strip_on_the_panel_page_is_meant_for_all_casts_alike(piece):
    from projects.forms.panel import PanelForm
    from projects.panel.rows import Shopful, blocks_of
    from projects.views.panel import initial_of

    worked_panel(piece)
    piece.more()
    rows = blocks_of(piece.project)
    initial = initial_of(None, rows)
    typed = {
        "pattern": "squares", "sizes_of": "squares", "width_mm": "600", "height_mm": "420",
        "size_side_mm": "60", "strip_mm": "3", "gap_mm": "2", "finished_mm": "10", "saw": "", "turn_deg": "0",
        "origin_x_mm": "30", "origin_y_mm": "30", "glue_mm": "0", "overhang_mm": "0", "lines": "alike",
        "wood_0": "", "tint_0": "100", "wood_1": "", "tint_1": "100",
    }  # fmt: skip
    form = PanelForm(typed, blocks=rows, shopful=Shopful.of(piece.shop), initial=initial, shop=piece.shop)
    assert form.is_valid(), form.errors
    panels.keep_panel(piece.member, piece.project, *form.values(), at=AT)
    assert set(piece.project.blocks.values_list("strip_mm", flat=True)) == {3.0}


# --- and back ---


def test_taken_back_it_is_gone_with_its_steps_and_wants(piece):
    before = piece.titles()
    b = piece.more()
    piece.undo()
    assert piece.titles() == before
    assert not Block.objects.filter(pk=b.pk).exists()
    assert not Need.objects.filter(project=piece.project).exclude(block=piece.a).exists()


def test_it_can_be_added_again_after_that(piece):
    piece.more()
    piece.undo()
    assert piece.more().letter == "B"


def test_once_a_step_of_it_was_begun_it_stays(piece):
    b = piece.more()
    Step.objects.filter(block=b, kind="measure").update(state="under_way")
    with pytest.raises(Refused, match="was begun meanwhile"):
        piece.undo()
    assert Block.objects.filter(pk=b.pk).exists()


def test_once_the_panel_takes_pieces_from_it_it_stays(piece):
    b = piece.more()
    design(piece.member, piece.project, overrides={"tints": {}, "blocks": {"A": str(b.key)}})
    with pytest.raises(Refused, match="The panel takes pieces from Block B"):
        piece.undo()
