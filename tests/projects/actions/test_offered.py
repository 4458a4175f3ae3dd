"""Steps that a design asks for: offered, put in when a maker accepts, taken back."""

import pytest

from projects import offers
from projects.actions import needs, offered, plan, route, work
from projects.gluing import Part
from projects.models import Block, StepLink
from tests.factories import AT, MemberFactory, ResinFactory, SupplyFactory, key, moment
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


class Piece:
    """A project with the usual route and a resin that is poured 25 mm deep at most."""

    def __init__(self):
        self.member = MemberFactory()
        self.resin = ResinFactory(
            shop=self.member.shop, max_depth_mm=10, recoat_open_h=4, recoat_close_h=14, recoat_c=23
        )
        self.project = plan.begin_project(
            self.member, title="Lamp", due_on=None, resin=self.resin, at=AT
        )  # fmt: skip

    def deepen(self, finished_mm):
        block = self.project.blocks.get()
        plan.keep_block(self.member, block, {"finished_mm": finished_mm}, at=AT)

    def finish(self, **values):
        supply = SupplyFactory(shop=self.member.shop, kind="finish", name="Hard wax", **values)
        needs.write_in(self.member, self.project, {"supply": supply}, at=AT)

    def offers(self):
        return offers.offers_of(self.project, route.in_place(self.project))

    def accept(self, start):
        [offer] = [one for one in self.offers() if one.code.startswith(start)]
        return offered.accept(self.member, self.project, offer.code, at=AT)

    def titles(self, kind):
        return [step.title for step in route.in_place(self.project) if step.kind == kind]

    def undo(self):
        route.undo(self.member, self.project, at=AT)


def test_a_new_route_is_as_its_design_asks():
    piece = Piece()
    assert piece.offers() == []


def test_a_deeper_block_offers_the_pours_that_its_sheet_asks_for():
    piece = Piece()
    piece.deepen(50)
    [offer] = piece.offers()
    assert offer.count == offers.lifts_of(piece.project.blocks.get()) - 1 > 0
    assert "the route has 1" in offer.sentence
    assert piece.titles("pour") == ["Pour block A"]


def test_pours_come_within_the_hard_window_of_the_sheet():
    piece = Piece()
    piece.deepen(50)
    added = piece.accept("lifts")
    assert added[0].title == "Pour block A, pour 2"
    link = StepLink.objects.get(after=added[0])
    assert (link.before.title, link.open_min, link.close_min) == ("Pour block A", 240, 840)
    assert (link.hard, link.law, link.at_c) == (True, "ten_degree", 23)
    kinds = [step.kind for step in route.in_place(piece.project)]
    assert kinds[kinds.index("pour") + len(added) + 1] == "cure"
    assert piece.offers() == []


def test_pours_put_in_are_taken_back_with_their_links():
    piece = Piece()
    before, links = piece.titles("pour"), StepLink.objects.count()
    piece.deepen(50)
    piece.accept("lifts")
    piece.undo()
    assert (piece.titles("pour"), StepLink.objects.count()) == (before, links)


def test_a_flatter_block_takes_no_pour_away():
    piece = Piece()
    piece.deepen(50)
    piece.accept("lifts")
    pours = piece.titles("pour")
    piece.deepen(10)
    assert (piece.titles("pour"), piece.offers()) == (pours, [])


def test_a_film_wants_a_third_coat():
    piece = Piece()
    piece.finish(penetrating=False)
    assert [offer.code for offer in piece.offers()] == ["coats"]
    coat, dries = piece.accept("coats")
    assert (coat.title, dries.title, dries.mode) == ("Finish, coat 3", "Coat 3 dries", "passive")
    waits = {link.before.title: link.close_min for link in StepLink.objects.filter(after=coat)}
    assert waits == {"Finish, coat 2": 48 * 60}
    kinds = [step.kind for step in route.in_place(piece.project)]
    assert kinds[-7:] == ["coat", "dry", "coat", "dry", "light", "dry", "pack"]
    assert piece.offers() == []


def test_an_oil_is_content_with_two():
    piece = Piece()
    piece.finish(penetrating=True)
    assert piece.offers() == []


def test_a_block_without_steps_offers_its_own():
    piece = Piece()
    second = Block.objects.create(
        shop=piece.member.shop, created_at=AT, project=piece.project, position=1, resin=piece.resin
    )
    added = piece.accept("block")
    assert {step.block for step in added} == {second}
    assert piece.titles("pour") == ["Pour block A", "Pour block B"]
    titles = [step.title for step in route.in_place(piece.project)]
    assert titles.index("Dry fit") == titles.index(added[-1].title, titles.index("Pour block B")) + 1
    piece.undo()
    assert piece.titles("pour") == ["Pour block A"]


def test_what_is_asked_for_no_more_is_refused():
    piece = Piece()
    with pytest.raises(Refused, match="asks for that no more"):
        offered.accept(piece.member, piece.project, "coats", at=AT)


def test_offers_take_as_many_questions_as_ever(django_assert_num_queries):
    piece = Piece()
    piece.finish(penetrating=False)
    steps = route.in_place(piece.project)
    with django_assert_num_queries(2):
        offers.offers_of(piece.project, steps)


# --- a glue-up in parts ---

PARTS = (Part("rows 1–2", 60, 32), Part("row 3", 20, 21), Part("row 4", 20, 21))


def test_parts_take_the_place_of_those_so_far_each_with_its_rest():
    piece = Piece()
    offered.glue_in_parts(piece.member, piece.project, PARTS, at=AT)
    found = [(step.title, step.minutes) for step in route.in_place(piece.project) if step.kind == "glue_up"]
    assert found == [
        ("Glue up, rows 1–2: 60 pieces", 32), ("Glue up, row 3: 20 pieces", 21),
        ("Glue up, row 4: 20 pieces", 21),
    ]  # fmt: skip
    assert piece.titles("clamped") == [
        "Rows 1–2 in the clamps", "Row 3 in the clamps", "Row 4 in the clamps",
    ]  # fmt: skip
    kinds = [step.kind for step in route.in_place(piece.project)]
    first = kinds.index("glue_up")
    assert kinds[first - 1 : first + 7] == ["dry_fit", *["glue_up", "clamped"] * 3, "level"]


def test_parts_are_taken_back_to_those_before():
    piece = Piece()
    before = [step.title for step in route.in_place(piece.project)]
    offered.glue_in_parts(piece.member, piece.project, PARTS, at=AT)
    piece.undo()
    assert [step.title for step in route.in_place(piece.project)] == before


def test_parts_are_not_chosen_any_more_once_one_was_begun():
    piece = Piece()
    first = next(step for step in route.in_place(piece.project) if step.kind == "glue_up")
    work.tell(piece.member, first, "began", key=key(), moment=moment())
    with pytest.raises(Refused, match="“Glue up, part 1” was begun already"):
        offered.glue_in_parts(piece.member, piece.project, PARTS, at=AT)


def test_a_design_without_pieces_has_no_parts():
    piece = Piece()
    with pytest.raises(Refused, match="no pieces to glue"):
        offered.glue_in_parts(piece.member, piece.project, (), at=AT)
