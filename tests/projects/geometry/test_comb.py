import io
import math

import ezdxf
import pytest
import shapely
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.comb import Comb, combs_across, row_length_mm, side_by_side, slot_for_mm
from projects.geometry.stack import Stack
from tests.data.rows import rows
from tests.workshop.drawing.parsed import parsed

COMB = Comb(2, 2, 0.2, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3)
combs = st.builds(
    Comb,
    strip_mm=st.floats(0.3, 6),
    gap_mm=st.floats(1, 6),
    clearance_mm=st.floats(0, 0.5),
    bed_mm=st.floats(40, 300),
    tooth_mm=st.floats(2, 20),
    base_mm=st.floats(2, 20),
    thickness_mm=st.floats(1, 10),
)


@given(combs)
def test_the_outline_has_the_area_corners_and_length_of_the_closed_form(comb):
    outline = shapely.Polygon(comb.outline())
    assert outline.is_valid
    assert outline.area == pytest.approx(comb.area_mm2)
    assert len(comb.outline()) == 4 * comb.teeth
    assert outline.bounds == pytest.approx((0, 0, comb.length_mm, comb.base_mm + comb.tooth_mm))
    assert comb.length_mm <= comb.bed_mm + 1e-6 < comb.length_mm + comb.pitch_mm + 2e-6


@given(combs)
def test_every_slot_takes_its_strip_with_its_play(comb):
    outline = shapely.Polygon(comb.outline())
    tip = comb.base_mm + comb.tooth_mm
    for slot in {0, comb.slots // 2, comb.slots - 1}:
        left = comb.tooth_width_mm + slot * comb.pitch_mm
        strip = shapely.box(
            left + comb.clearance_mm / 2, comb.base_mm, left + comb.clearance_mm / 2 + comb.strip_mm, tip
        )
        assert strip.intersection(outline).area == pytest.approx(0, abs=1e-6)
        around = shapely.box(left, comb.base_mm, left + comb.slot_mm, tip)
        assert around.area == pytest.approx((comb.strip_mm + comb.clearance_mm) * comb.tooth_mm)


@settings(max_examples=12)
@given(combs)
def test_the_body_is_closed_in_one_piece_and_of_its_volume_when_read_again(comb):
    body = trimesh.load(io.BytesIO(comb.stl()), file_type="stl")
    assert body.is_watertight
    assert body.is_winding_consistent
    assert body.euler_number == 2
    assert body.body_count == 1
    assert body.volume == pytest.approx(comb.volume_mm3, rel=1e-4)


def test_the_body_lies_on_its_bed_in_millimetres():
    body = trimesh.load(io.BytesIO(COMB.stl()), file_type="stl")
    assert body.bounds[0] == pytest.approx((0, 0, 0))
    assert body.bounds[1] == pytest.approx((177.8, 14, 3), abs=1e-4)


@settings(max_examples=10)
@given(combs)
def test_the_cutting_line_has_the_comb_s_area_and_unit_when_read_again(comb):
    drawing = ezdxf.read(io.StringIO(comb.dxf()))
    (line,) = drawing.modelspace().query("LWPOLYLINE")
    points = [(x, y) for x, y, *_ in line.get_points()]
    assert line.closed
    assert line.dxf.layer == "COMB"
    assert drawing.units == ezdxf.units.MM
    assert shapely.Polygon(points).area == pytest.approx(comb.area_mm2, rel=1e-9)
    assert not drawing.audit().errors


def test_one_comb_always_gives_the_same_files():
    again = Comb(2, 2, 0.2, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3)
    assert (COMB.dxf(), COMB.stl(), COMB.svg()) == (again.dxf(), again.stl(), again.svg())


def test_the_drawing_is_in_true_size():
    root = parsed(COMB.svg())
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("177.8mm", "14mm", "0 0 177.8 14")


@given(combs, st.floats(0.05, 2))
def test_strips_bind_where_slots_drawn_too_far_apart_no_longer_take_them(comb, percent):
    wrong = Comb(*(getattr(comb, name) for name in list(comb.__dataclass_fields__)[:-1]), percent)
    # slot n has drifted by n steps, and a strip at its own pitch fits while that is within the play
    step = comb.pitch_mm * percent / 100
    fitting = 0
    while fitting < 100_000 and (fitting + 1) * step <= comb.clearance_mm + 1e-9 * step:
        fitting += 1
    assert wrong.binds_after == fitting


def test_a_machine_without_error_never_binds():
    assert COMB.binds_after is None
    assert COMB.check() == []


def test_what_speaks_against_a_comb_is_said():
    comb = Comb(2, 0.9, 0.2, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3, scale_error_percent=0.5)
    assert [said.split(":")[0] for said in comb.check()] == [
        "A tooth is only 0.7 mm wide",
        "Strips bind after 13 slots",
    ]
    assert Comb(2, 2, 0, 180, 8, 6, 3).check() == ["A strip has no play in its slot: it will not go in."]


@pytest.mark.parametrize(("strips", "combs_needed"), [(1, 1), (44, 1), (45, 2), (88, 2), (89, 3)])
def test_as_many_combs_stand_side_by_side_as_the_strips_need(strips, combs_needed):
    assert combs_across(strips, COMB) == combs_needed


@given(combs, st.integers(1, 2000))
def test_combs_of_one_place_have_the_strips_as_slots_as_evenly_as_can_be(comb, strips):
    found = side_by_side(strips, comb)
    slots = [each.slots for each in found]
    assert (len(slots), sum(slots)) == (combs_across(strips, comb), strips)
    assert max(slots) - min(slots) <= 1
    assert max(slots) <= comb.slots
    assert slots == sorted(slots, reverse=True)


@given(combs, st.integers(1, 2000))
def test_combs_set_one_tooth_over_the_other_hold_one_pitch_throughout(comb, strips):
    found, at, slots = side_by_side(strips, comb), 0.0, []
    for each in found:
        slots += [at + each.tooth_width_mm + number * each.pitch_mm for number in range(each.slots)]
        at += each.length_mm - each.tooth_width_mm
    first, last = slots[0], slots[-1]
    assert last - first == pytest.approx((strips - 1) * comb.pitch_mm)
    assert row_length_mm(found) == pytest.approx(last + comb.slot_mm + comb.tooth_width_mm)


def test_no_strips_make_no_combs():
    with pytest.raises(OutOfRange, match="strips is 0 strips"):
        side_by_side(0, COMB)


@pytest.mark.parametrize("row", rows("comb", quantity="comb slot width"))
def test_a_slot_takes_the_thickest_strip_and_its_play(row):
    values = row["inputs"]
    found = slot_for_mm(values["t_mm"], values["t_tol_mm"], values["clear_mm"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("comb", quantity="stack length"))
def test_a_stack_is_as_wide_as_worked(row):
    values = row["inputs"]
    stack = Stack(strip_mm=values["t_mm"], gap_mm=values["g_mm"])
    assert stack.width_mm(values["N"]) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("comb", quantity="FDM clearance", use="reference"))
def test_the_play_per_side_that_printers_give_is_a_range_to_choose_from(row):
    low, high = (float(part) for part in row["expected"].split("–"))
    comb = Comb(2, 2, 2 * high, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3)
    assert comb.slot_mm == pytest.approx(2 + 2 * high)
    assert 0 < low < high


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"clearance_mm": 2}, "clearance is 2 mm"),
        ({"clearance_mm": -0.1}, "clearance is -0.1 mm"),
        ({"bed_mm": 5}, "bed is 5 mm, which is too low"),
        ({"strip_mm": 0}, "strip is 0 mm"),
        ({"tooth_mm": math.nan}, "tooth is not a number"),
        ({"scale_error_percent": 9}, "scale error is 9 %"),
        ({"bed_mm": 9_999, "strip_mm": 0.3, "gap_mm": 0.5}, "slots is 12498 slots"),
    ],
)
def test_a_comb_that_cannot_be_made_is_refused(changed, words):
    sizes = {"strip_mm": 2, "gap_mm": 2, "clearance_mm": 0.2, "bed_mm": 180}
    with pytest.raises(OutOfRange, match=words):
        Comb(**{**sizes, "tooth_mm": 8, "base_mm": 6, "thickness_mm": 3, **changed})
