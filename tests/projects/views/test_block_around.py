import pytest

from materials.models import Lot, Reading
from projects.models import Block
from projects.panel import casting
from tests.factories import AT, Bench, LotFactory, SpeciesFactory, design, key
from tests.projects.pages import at, typed_in, words_of

pytestmark = pytest.mark.django_db


class Cast(Bench):
    """A bench whose block has a wood, and whose project has a panel."""

    def __init__(self, **wood):
        super().__init__()
        self.wood = SpeciesFactory(shop=self.shop, **wood)
        Block.objects.update(species=self.wood)
        design(self.member, self.project)

    def bundle(self, count, unit="strips", kind="wood", **figures):
        lot = {"kind": kind, "species": self.wood, "resin": None, "part": "", "unit": unit, **figures}
        return LotFactory(shop=self.shop, grams=count, **lot)

    def read(self, *values):
        lot = self.bundle(60)
        made = {"shop": self.shop, "kind": "thickness", "unit": "mm", "lot": lot, "member": self.member}
        for value in values:
            Reading.objects.create(**made, value=value, taken_at=AT, created_at=AT)


def page(bench):
    return at("block", bench.shop, bench.project.key)


def words(signed_in, bench):
    return words_of(signed_in(bench.member).get(page(bench)))


# --- for the panel ---


def test_the_page_says_how_many_blocks_the_panel_takes(signed_in):
    said = words(signed_in, Cast())
    # the worked plan of patterns.md: four blocks, 568.2548 mm long, full ones 198 mm wide
    assert "4 blocks 3 of 568.3 mm × 198 mm (50 strips), 1 of 568.3 mm × 70 mm (18 strips)." in said


def test_the_panels_block_can_be_taken_over(signed_in):
    bench = Cast()
    response = signed_in(bench.member).get(page(bench))
    taken = typed_in(signed_in(bench.member).get(page(bench) + response.context["take_over"]))
    assert (taken["strips"], taken["length_mm"], taken["gap_mm"]) == ("50", "569 mm", "2 mm")


def test_taking_over_is_newer_than_a_draft(signed_in):
    bench = Cast()
    response = signed_in(bench.member).get(page(bench))
    taken = signed_in(bench.member).get(page(bench) + response.context["take_over"])
    assert b"data-draft-newer" in taken.content


def test_a_block_that_fits_the_panel_offers_nothing_to_take_over(signed_in):
    bench = Cast()
    Block.objects.update(length_mm=569)
    assert "as long and wide as the largest of them" in words(signed_in, bench)


def test_a_project_without_a_panel_leads_to_designing_one(signed_in):
    assert "No panel asks for this block yet." in words(signed_in, Bench())


def test_the_mass_of_the_block_is_that_of_its_wood_and_resin(signed_in):
    bench = Cast(specific_gravity=0.5)
    # wood: 50 strips of 600 x 2 x 12 mm at 0.5 * 1.08 g/ml; resin: 908.224 ml at 1.07245282 g/ml
    expected = 720 * 0.54 + 908.224 * 1.07245282
    assert casting.mass_g(Block.objects.get(pk=bench.block.pk)) == pytest.approx(expected, rel=1e-6)
    assert "The block weighs 1 363 g as it is cast" in words(signed_in, bench).replace("\u202f", " ")


def test_without_a_resin_no_mass_is_said(signed_in):
    bench = Cast()
    Block.objects.update(resin=None)
    assert "The block weighs" not in words(signed_in, bench)


# --- strips ---

FITTING = {"thickness_mm": 2, "width_mm": 12, "length_mm": 600}


def test_a_bundle_with_strips_enough_is_called_clear(signed_in):
    bench = Cast()
    lot = bench.bundle(168, **FITTING)
    assert f"168 strips clear {lot.code} 168 strips there" in words(signed_in, bench)


def test_a_bundle_with_one_strip_less_is_short(signed_in):
    bench = Cast()
    lot = bench.bundle(167, **FITTING)
    assert f"short {lot.code} 167 strips there" in words(signed_in, bench)


@pytest.mark.parametrize(
    ("sizes", "why"),
    [
        ({"length_mm": 599}, "too short"),
        ({"width_mm": 11.9}, "too narrow"),
        ({"thickness_mm": 1.9}, "too thin"),
        ({"thickness_mm": 2.1}, "too thick"),
    ],
)
def test_a_bundle_that_does_not_fit_is_said_as_the_shelf_counts_it(signed_in, sizes, why):
    bench = Cast()
    lot = bench.bundle(500, **{**FITTING, **sizes})
    assert f"{why} {lot.code} 500 strips there for these strips" in words(signed_in, bench)


def test_a_bundle_that_nobody_measured_says_what_is_missing(signed_in):
    bench = Cast()
    lot = bench.bundle(500)
    said = words(signed_in, bench)
    assert f"not measured {lot.code} 500 strips there; write thickness, width and length" in said


def test_boards_have_to_be_sawn_first(signed_in):
    bench = Cast()
    bench.bundle(3, unit="pieces", thickness_mm=2, width_mm=200, length_mm=2500)
    assert "3 needed, 3 there, to be sawn" in words(signed_in, bench)


def test_of_the_last_sheet_it_is_said_how_much_is_used(signed_in):
    bench = Cast()
    bench.bundle(3, unit="pieces", thickness_mm=2, width_mm=200, length_mm=2500)
    # 168 strips of 64 a sheet: 40 of the third; 64 x 600 x 12 of 2500 x 200 mm2 end in strips
    assert "The last is used to 62 %; 92 % of each ends in strips" in words(signed_in, bench)


def test_sheets_are_counted_by_the_strips_they_give(signed_in):
    bench = Cast()
    bench.bundle(3, unit="pieces", thickness_mm=2, width_mm=200, length_mm=2500)
    # 4 lengths of 600 mm by 16 heights of 12 mm: 64 strips a sheet, 168 wanted
    assert "gives 64 a piece: 3 needed, 3 there" in words(signed_in, bench)


def test_boards_are_counted_with_the_saws_cut(signed_in):
    bench = Cast()
    bench.bundle(1, unit="pieces", kind="sawn", thickness_mm=14, width_mm=100, length_mm=1300)
    # 2 lengths by (100 + 2) / (2 + 2) = 25 slices
    assert "gives 50 a piece: 4 needed, 1 there" in words(signed_in, bench)


def test_a_sheet_too_small_for_a_strip_says_so(signed_in):
    bench = Cast()
    bench.bundle(9, unit="pieces", thickness_mm=2, width_mm=200, length_mm=400)
    assert "gives 0 a piece, too small for these strips" in words(signed_in, bench)


def test_a_sheet_without_figures_says_what_is_missing(signed_in):
    bench = Cast()
    bench.bundle(9, unit="pieces")
    assert "its length, width and thickness are not noted" in words(signed_in, bench)


def test_bundles_of_another_wood_are_not_named(signed_in):
    bench, other = Cast(), SpeciesFactory
    LotFactory(
        shop=bench.shop, kind="wood", species=other(shop=bench.shop), resin=None, part="", unit="strips"
    )
    assert "are on the shelf." in words(signed_in, bench)


def test_a_bundle_taken_off_the_shelf_is_not_named(signed_in):
    bench = Cast()
    bench.bundle(500)
    Lot.objects.filter(kind="wood").update(removed_at=AT)
    assert f"No strips or boards of {bench.wood} are on the shelf." in words(signed_in, bench)


# --- the width that is expected ---


def test_the_width_is_expected_with_its_spread(signed_in):
    bench = Cast()
    bench.read(2.02, 2.04, 2.03, 2.03)
    grown = signed_in(bench.member).get(page(bench)).context["grown"]
    # each strip 0.03 mm thicker and 0.1 mm of sealer: with combs once, with spacers fifty times
    assert grown.combs.width_mm == pytest.approx(198.13)
    assert grown.spacers.width_mm == pytest.approx(198 + 50 * 0.13)
    assert grown.spacers.spread_mm > grown.combs.spread_mm > 0


def test_readings_of_another_cut_of_the_wood_are_left_out(signed_in):
    bench = Cast()
    bench.read(2.0, 2.0, 0.6)
    assert signed_in(bench.member).get(page(bench)).context["grown"].readings == 2


def test_one_reading_is_not_enough_for_a_spread(signed_in):
    bench = Cast()
    bench.read(2.0)
    assert "Measure two strips or more of the bundle" in words(signed_in, bench)


def test_where_the_panel_takes_more_blocks_shelf_list_and_sheet_say_that_they_are_for_one(signed_in):
    bench = Cast()
    assert casting.more_blocks(bench.project) == 3  # of the four of the worked plan
    for name in ("shelf-list", "sheets"):
        said = words_of(signed_in(bench.member).get(at(name, bench.shop, bench.project.key)))
        assert "more blocks wanted" in said, name


def test_without_a_panel_no_block_is_missing():
    assert casting.more_blocks(Bench().project) == 0


# --- all blocks of the panel, and whether the stack goes into its mould ---


def test_all_blocks_of_the_panel_say_their_resin_together(signed_in):
    bench = Cast()
    response = signed_in(bench.member).get(page(bench))
    asked = response.context["asked"]
    sizes = [(strips, length, many) for many, length, _, strips in asked.sizes]
    # gaps, rim of 4 mm and 1 mm over it, 5 % for cups and soaking, as the block's page reckons one
    total = 0
    for strips, length, many in sizes:
        width = strips * 4 - 2
        inside = (length + 8) * (width + 8)
        gaps, rim = length * 2 * (strips - 1) * 12, (inside - length * width) * 12
        total += many * 1.05 * (gaps + rim + inside) / 1000
    assert asked.all_ml == pytest.approx(total, rel=1e-4)
    assert response.context["all_g"] == pytest.approx(total * 1.07245282, rel=1e-4)
    assert "All of them take" in words_of(response)


def test_a_stack_too_wide_for_its_mould_is_said(signed_in):
    bench = Cast()
    bench.read(2.2, 2.24, 2.26)
    said = words(signed_in, bench)
    assert "With loose spacers it does not go into its mould of 206 mm" in said
    Block.objects.update(rim_mm=0)
    assert "It does not go into its mould of 198 mm" in words(signed_in, bench)


def test_a_stack_of_loose_spacers_runs_beside_its_comb(signed_in):
    bench = Cast()
    bench.read(1.99, 2.0, 2.01)
    grown = signed_in(bench.member).get(page(bench)).context["grown"]
    # 49 pitches of 4 mm and a slot of 2 + 0.1 + 0.2; 50 strips push each other on by 0.1 of sealer, not one
    assert grown.slots_mm == pytest.approx(198.3)
    assert (grown.in_slots, grown.spacers_in_slots) == (True, False)
    said = words(signed_in, bench)
    assert "comb first With loose spacers the last strip comes to lie 4.9 mm beside its slot" in said


@pytest.mark.parametrize(
    ("read", "figures", "sentence"),
    [
        ((1.99, 2.0, 2.01), {"rim_mm": 6}, "mould Either way it goes into its mould of 210 mm."),
        (
            (1.99, 2.0, 2.01),
            {"strips": 2},
            "comb Either way its strips lie in the comb’s slots, which reach 6.3",
        ),
        ((2.2, 2.24, 2.26), {}, "comb: tight Strips this thick don’t all go into the comb’s slots"),
    ],
)
def test_whether_the_stack_fits_is_said_in_a_sentence(signed_in, read, figures, sentence):
    bench = Cast()
    bench.read(*read)
    Block.objects.update(**{"rim_mm": 4, **figures})
    assert sentence in words(signed_in, bench)


def test_a_kept_block_of_a_panel_leads_on_to_its_cuts(signed_in):
    bench = Cast()
    client = signed_in(bench.member)
    typed = typed_in(client.get(page(bench) + client.get(page(bench)).context["take_over"]))
    response = client.post(page(bench), {"key": key(), "happened_at": "", "sent_at": "", **typed})
    assert response.headers["Location"] == at("cuts", bench.shop, bench.project.key)
