import struct
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.models import Reading
from projects.models import Block
from projects.panel.casting import BOW_SHARE, combs_for
from tests.factories import AT, Bench, BlockFactory, LotFactory, SpeciesFactory
from tests.projects.pages import FRAGMENT, at, said_at, words_of
from workshop.models import Machine

pytestmark = pytest.mark.django_db

# the worked comb of patterns.md: strip and gap 2 mm, no sealer
TYPED = {
    "seal_mm": "0", "clearance_mm": "0.2 mm", "bed_mm": "180 mm", "tooth_mm": "8 mm", "base_mm": "6 mm",
    "thickness_mm": "3 mm", "scale_error_percent": "0",
}  # fmt: skip


def page(bench):
    return at("combs", bench.shop, bench.project.key)


def file_of(signed_in, bench, kind, **changed):
    url = at("comb-file", bench.shop, bench.project.key, kind)
    return signed_in(bench.member).get(url, {**TYPED, **changed})


def strips(bench, many):
    bench.block.strips = many
    bench.block.save()
    return bench


def test_the_worked_comb_has_its_slots_and_its_length(signed_in):
    words = words_of(signed_in((bench := strips(Bench(), 44)).member).get(page(bench), TYPED))
    assert "44 slots of 2.2 mm, 177.8 mm long." in words
    assert "One holds all 44 strips" in words


def test_a_comb_has_no_more_slots_than_its_block_has_strips(signed_in):
    # 18 strips of 2 mm with gaps of 2 mm: 70 mm wide
    bench = strips(Bench(), 18)
    response = signed_in(bench.member).get(page(bench), TYPED)
    assert "18 slots of 2.2 mm, 73.8 mm long." in words_of(response)
    assert response.context["across"] == 1
    assert 'width="73.8mm"' in file_of(signed_in, bench, "svg").content.decode()


def test_combs_of_one_place_share_the_strips_evenly(signed_in):
    words = words_of(signed_in((bench := Bench()).member).get(page(bench), TYPED))
    assert "25 slots of 2.2 mm, 101.8 mm long." in words
    assert "2 side by side of 25 + 25 slots hold 50 strips" in words
    assert "201.8 mm Long together." in words


def test_an_odd_strip_makes_two_kinds_of_comb_each_with_its_files(signed_in):
    bench = strips(Bench(), 51)
    response = signed_in(bench.member).get(page(bench), TYPED)
    assert "of 26 + 25 slots hold 51 strips" in words_of(response)
    places = len(response.context["places"].places)
    assert f"{places} of 26 slots, 105.8 mm long" in words_of(response)
    assert f"{places} of 25 slots, 101.8 mm long" in words_of(response)
    assert "slots=25" in response.content.decode()
    names = [
        file_of(signed_in, bench, "dxf", **asked)["Content-Disposition"].split("comb-")[1]
        for asked in ({}, {"slots": "26"}, {"slots": "25"})
    ]
    assert names == ['26.dxf"', '26.dxf"', '25.dxf"']
    assert file_of(signed_in, bench, "dxf", slots="44").status_code == 404


def test_a_keystroke_gets_the_comb_alone(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench), TYPED, **FRAGMENT)
    assert response.templates[0].name == "projects/_comb.html"
    assert b"<html" not in response.content


def test_the_slot_takes_the_sealed_strip(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench), {**TYPED, "seal_mm": "0.1"})
    assert response.context["comb"].slot_mm == pytest.approx(2.4)
    assert response.context["comb"].pitch_mm == pytest.approx(4)


def test_as_many_combs_as_hold_the_strips_stand_at_each_place(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench), TYPED)
    # 50 strips in combs of 44 slots
    assert response.context["across"] == 2
    assert response.context["many"] == 2 * len(response.context["places"].places)


def test_the_longest_comb_is_that_of_the_shops_printer(signed_in):
    bench = Bench()
    Machine.objects.create(shop=bench.shop, kind="printer", name="the printer", bed_mm=300, created_at=AT)
    assert signed_in(bench.member).get(page(bench)).context["comb"].slots == 50


def test_thin_teeth_are_warned_of(signed_in):
    bench = Bench()
    Block.objects.update(gap_mm=0.9)
    words = words_of(signed_in(bench.member).get(page(bench), TYPED))
    assert "A tooth is only 0.7 mm wide: under 0.8 mm it breaks easily." in words


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("bed_mm", "wide", "“wide” is not understood."),
        ("tooth_mm", "0", "is too little"),
        ("thickness_mm", "", "This field is required."),
        ("scale_error_percent", "9", "is too much"),
    ],
)
def test_a_figure_that_can_not_be_gets_a_sentence(signed_in, name, text, sentence):
    response = signed_in((bench := Bench()).member).get(page(bench), {**TYPED, name: text})
    assert sentence in said_at(response, name)


def test_more_play_than_gap_makes_no_comb_and_says_why(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench), {**TYPED, "clearance_mm": "2 mm"})
    assert "No comb can be made: clearance is 2 mm" in words_of(response)


@pytest.mark.parametrize(
    ("kind", "type_"), [("svg", "image/svg+xml"), ("dxf", "image/vnd.dxf"), ("stl", "model/stl")]
)
def test_a_file_is_named_by_project_and_block(signed_in, kind, type_):
    bench = Bench()
    response = file_of(signed_in, bench, kind)
    name = f"{bench.project.code}-block-A-comb-25.{kind}"
    assert response["Content-Disposition"] == f'attachment; filename="{name}"'
    assert response["Content-Type"] == type_


def test_the_stl_is_as_long_and_high_and_thick_as_the_comb(signed_in):
    data = file_of(signed_in, Bench(), "stl").content
    (count,) = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * count
    corners = [struct.unpack_from("<9f", data, 84 + 50 * n + 12) for n in range(count)]
    for axis, size in enumerate((101.8, 14, 3)):
        values = [corner[axis + 3 * point] for corner in corners for point in range(3)]
        assert max(values) - min(values) == pytest.approx(size, abs=1e-4)


def test_the_dxf_is_one_closed_line(signed_in):
    assert file_of(signed_in, Bench(), "dxf").content.decode().count("LWPOLYLINE") == 1


def test_the_svg_is_in_true_size(signed_in):
    assert 'width="101.8mm" height="14mm"' in file_of(signed_in, Bench(), "svg").content.decode()


def test_without_figures_the_usual_comb_is_sent(signed_in):
    bench = Bench()
    url = at("comb-file", bench.shop, bench.project.key, "stl")
    assert signed_in(bench.member).get(url).status_code == 200


@pytest.mark.parametrize(("kind", "changed"), [("gcode", {}), ("stl", {"bed_mm": "wide"})])
def test_a_file_that_can_not_be_made_is_no_such_page(signed_in, kind, changed):
    assert file_of(signed_in, Bench(), kind, **changed).status_code == 404


@given(strip=st.floats(0.3, 6), gap=st.floats(0.3, 6), length=st.floats(50, 2000))
def test_between_combs_no_strip_bows_more_than_a_tenth_of_its_gap(strip, gap, length):
    block = Block(strip_mm=strip, gap_mm=gap, length_mm=length)
    found = combs_for(block)
    assert found.bow_mm <= BOW_SHARE * gap * (1 + 1e-9)
    assert (found.places[0], found.places[-1]) == pytest.approx((0, length))
    assert max(b - a for a, b in pairwise(found.places)) <= found.apart_mm * (1 + 1e-9)


# each block has a comb of its own


def with_b(bench, **figures):
    figures = {"strip_mm": 3, "gap_mm": 1.5, "strips": 20, **figures}
    return BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=1, **figures)


def of(bench, letter, name="combs-of", *args):
    return at(name, bench.shop, bench.project.key, letter, *args)


def test_each_block_has_the_comb_of_its_own_strips(signed_in):
    with_b(bench := Bench())
    found = {letter: signed_in(bench.member).get(of(bench, letter), TYPED).context for letter in "AB"}
    assert (found["A"]["comb"].slot_mm, found["A"]["comb"].pitch_mm) == pytest.approx((2.2, 4))
    assert (found["B"]["comb"].slot_mm, found["B"]["comb"].pitch_mm) == pytest.approx((3.2, 4.5))
    assert found["B"]["across"] == 1


def test_the_address_without_a_letter_is_that_of_the_first_block(signed_in):
    with_b(bench := Bench())
    assert signed_in(bench.member).get(page(bench), TYPED).context["kept"] == bench.block


def test_the_files_of_the_second_block_are_its_own(signed_in):
    with_b(bench := Bench())
    response = signed_in(bench.member).get(of(bench, "B", "comb-file-of", "svg"), TYPED)
    name = f"{bench.project.code}-block-B-comb-20.svg"
    assert response["Content-Disposition"] == f'attachment; filename="{name}"'
    assert "slots of 3.2 mm at a pitch of 4.5 mm" in response.content.decode()


def test_the_page_of_a_block_leads_to_its_own_comb_and_its_files(signed_in):
    with_b(bench := Bench())
    client = signed_in(bench.member)
    assert of(bench, "B") in client.get(of(bench, "B", "block-of")).content.decode()
    content = client.get(of(bench, "B"), TYPED).content.decode()
    assert of(bench, "B", "block-of") in content
    assert all(of(bench, "B", "comb-file-of", kind) in content for kind in ("stl", "dxf", "svg"))


def test_the_combs_of_several_blocks_are_chosen_by_their_letter(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    assert "Combs of which block" not in client.get(page(bench)).content.decode()
    with_b(bench)
    content = client.get(of(bench, "B")).content.decode()
    assert f'href="{of(bench, "A")}">Block A</a>' in content
    assert f'href="{of(bench, "B")}" aria-current="page">Block B</a>' in content


@pytest.mark.parametrize("letter", ["B", "a", "AA", "1"])
def test_a_letter_without_a_block_is_no_such_page(signed_in, letter):
    bench = Bench()
    client = signed_in(bench.member)
    assert client.get(of(bench, letter)).status_code == 404
    assert client.get(of(bench, letter, "comb-file-of", "svg")).status_code == 404


# whether strips go in


def measured(bench, *values):
    bench.block.species = SpeciesFactory(shop=bench.shop)
    bench.block.save()
    lot = LotFactory(
        shop=bench.shop, kind="wood", species=bench.block.species, resin=None, part="", unit="strips"
    )
    made = {"shop": bench.shop, "kind": "thickness", "unit": "mm", "member": bench.member, "lot": lot}
    for value in values:
        Reading.objects.create(**made, value=value, taken_at=AT, created_at=AT)


def test_strips_that_are_measured_say_how_likely_one_binds(signed_in):
    measured(bench := Bench(), 1.98, 2.0, 2.02, 2.0)
    response = signed_in(bench.member).get(page(bench), {**TYPED, "clearance_mm": "0.02 mm"})
    binding = response.context["binding"]
    # the slot is 2.02 mm wide: 0.02 above the mean, 1.2247 standard deviations
    assert binding.chance == pytest.approx(0.1103, abs=1e-4)
    assert binding.any_chance == pytest.approx(1 - (1 - binding.chance) ** 50)
    words = words_of(response)
    assert "strips bind About one strip in 9 binds in its slot" in words
    assert "By 4 readings: 2 mm on average, spread 0.02 mm." in words


def test_readings_are_sorted_into_classes_that_go_in_or_may_bind(signed_in):
    measured(bench := Bench(), 1.98, 2.0, 2.02, 2.2)
    response = signed_in(bench.member).get(page(bench), {**TYPED, "clearance_mm": "0.1 mm"})
    assert response.context["binding"].classes == ((2.0, 3, False), (2.2, 1, True))
    assert "2 mm 3 goes in 2.2 mm 1 may bind" in words_of(response)


def test_with_room_enough_no_strip_should_bind(signed_in):
    measured(bench := Bench(), 1.98, 2.0, 2.02, 2.0)
    assert "strips go in No strip should bind" in words_of(signed_in(bench.member).get(page(bench), TYPED))


def test_without_readings_the_page_leads_to_measuring(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench), TYPED)
    assert "is known once two of the bundle are measured" in words_of(response)
    assert "?kind=thickness" in response.content.decode()


def test_the_whole_stack_is_held_against_the_comb_that_is_drawn(signed_in):
    measured(bench := Bench(), 1.98, 2.0, 2.02, 2.0)
    client = signed_in(bench.member)
    wide = client.get(page(bench), TYPED)
    assert wide.context["grown"].slots_mm == pytest.approx(198.2)
    assert "Either way its strips lie in the comb’s slots, which reach 198.2 mm." not in words_of(wide)
    narrow = client.get(page(bench), {**TYPED, "clearance_mm": "0.01 mm"})
    assert "Strips this thick don’t all go into the comb’s slots, which reach 198" in words_of(narrow)
