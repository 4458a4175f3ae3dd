"""The bridge from rows to calculations: the right values go over it, and plain results come back.

What the calculations are worth is proved beside them; here only that the right figure is handed on.
"""

import pytest

from materials import advice
from materials.models import Batch, Resin

SHEET = {
    "name": "Tarn 90",
    "parts_a": 100,
    "parts_b": 45,
    "density_a_g_ml": 1.12,
    "density_b_g_ml": 0.98,
    "pot_minutes": 40,
}
"""The other figures of the sheet are the defaults: by mass, measured with 100 g at 25 °C."""


def resin(**more):
    return Resin(**{**SHEET, **more})


def cup(a_g=100.0, b_g=45.0, tolerance=2.0):
    return Batch(actual_a_g=a_g, actual_b_g=b_g, parts_a=100, parts_b=45, tolerance_percent=tolerance)


def test_a_ratio_by_mass_is_the_sheets_own():
    assert advice.parts_by_mass(resin()) == (100, 45)


def test_a_ratio_by_volume_becomes_one_by_mass():
    """2 : 1 by volume at 1.2 and 1.0 g/ml are 2.4 : 1 by mass. Hand calculation."""
    a, b = advice.parts_by_mass(
        resin(basis="volume", parts_a=2, parts_b=1, density_a_g_ml=1.2, density_b_g_ml=1.0)
    )
    assert a / b == pytest.approx(2.4)


def test_a_ratio_is_read_out_to_a_hundred_of_a():
    """2 : 1 by volume at 1.2 and 1.0 g/ml: 0.8333 of B would read 0.8, four per cent off."""
    mixed = resin(basis="volume", parts_a=2, parts_b=1, density_a_g_ml=1.2, density_b_g_ml=1.0)
    assert advice.to_100_of_a(mixed) == (100, pytest.approx(100 / 2.4))


def test_a_mass_is_shared_out():
    """290 g at 100 : 45 are 200 g and 90 g. Hand calculation."""
    mix = advice.mix_of_mass(resin(), 290)
    assert (mix.a_g, mix.b_g) == (pytest.approx(200), pytest.approx(90))
    assert (mix.a_ml, mix.b_ml) == (pytest.approx(200 / 1.12), pytest.approx(90 / 0.98))
    assert mix.mixed_ml == pytest.approx(200 / 1.12 + 90 / 0.98)


def test_a_volume_is_shared_out():
    """The volume that 290 g fill, back again."""
    mix = advice.mix_of_volume(resin(), 200 / 1.12 + 90 / 0.98)
    assert (mix.mixed_g, mix.a_g, mix.b_g) == (pytest.approx(290), pytest.approx(200), pytest.approx(90))


def test_b_follows_the_a_on_the_scale():
    """314.5 g of A at 100 : 45 want 141.525 g. Hand calculation."""
    assert advice.b_for_a((100, 45), 314.5) == pytest.approx(141.525)


def test_the_sheets_own_cup_lasts_as_the_sheet_says():
    life = advice.cup_life(resin(), 100, 25)
    assert (life.minutes, life.heavier) == (pytest.approx(40), False)


def test_ten_degrees_warmer_halve_the_time():
    """The ten-degree rule: hours · 2^((sheet − there)/10); common practice, no source."""
    assert advice.cup_life(resin(), 100, 35).minutes == pytest.approx(20)


def test_a_heavier_cup_is_marked_and_rings_at_half():
    life = advice.cup_life(resin(), 300, 25)
    assert life.heavier is True
    assert life.ring_minutes == pytest.approx(life.minutes / 2)


def test_a_pot_life_says_where_it_comes_from():
    assert advice.cup_life(resin(), 100, 20).source == (
        "Tarn 90 sheet: 40 min for 100 g at 25 °C; ten-degree rule to 20 °C"
    )


def test_a_cure_is_longer_in_the_cold():
    assert advice.cure_hours(resin(), 24, 15) == pytest.approx(48)


def test_a_cure_that_the_sheet_does_not_name_stays_unknown():
    assert advice.cure_hours(resin(), None, 20) is None


@pytest.mark.parametrize(
    ("min_c", "temp_c", "stopped"), [(18, 17, True), (18, 18.5, False), (None, 20, False)]
)
def test_the_sheets_lowest_temperature_tells_whether_the_cure_may_stand(min_c, temp_c, stopped):
    assert advice.may_have_stopped(resin(min_c=min_c), temp_c) is stopped


def test_a_cup_without_b_has_no_ratio():
    assert advice.ratio_of(cup(b_g=None)) is None


@pytest.mark.parametrize(
    ("b_g", "tolerance", "level"),
    [(45.0, 2, "clear"), (45.9, 2, "clear"), (46.0, 2, "caution"), (42.0, 2, "stop"), (48.0, 10, "clear")],
)
def test_a_cups_ratio_is_judged_by_the_tolerance_frozen_in_it(b_g, tolerance, level):
    """2 % of 45 are 0.9, 5 % are 2.25. Hand calculation."""
    assert advice.ratio_of(cup(b_g=b_g, tolerance=tolerance)).level == level


def test_a_ratio_is_told_to_a_hundred_of_a():
    says = advice.ratio_of(cup(a_g=200.0, b_g=91.8))
    assert (says.b_to_100_a, says.sheet_b_to_100_a) == (pytest.approx(45.9), pytest.approx(45))
    assert says.error_percent == pytest.approx(2)


def test_other_masses_can_be_asked_about():
    assert advice.ratio_of(cup(), b_g=90.0).error_percent == pytest.approx(100)


def test_a_slip_of_the_finger_is_a_stop_and_not_a_broken_page():
    """50 kg of B on a hundredth of a gram of A: beyond what the calculation covers."""
    says = advice.ratio_of(cup(a_g=0.01, b_g=50_000.0))
    assert (says.level, says.error_percent) == ("stop", advice.FARTHEST_PERCENT)


def test_the_margin_above_the_dew_point_wants_both_readings():
    assert advice.dew_margin_k(20, None) is advice.dew_margin_k(None, 50) is None


def test_at_full_humidity_there_is_no_margin():
    """By definition the dew point of saturated air is its temperature."""
    assert advice.dew_margin_k(20, 100) == pytest.approx(0, abs=0.01)


def test_a_reading_outside_the_calculation_leaves_the_margin_unknown():
    assert advice.dew_margin_k(200, 50) is None


@pytest.mark.parametrize(
    ("text", "system", "name", "grain_um"),
    [
        ("240", "P", "P240", 58.5),
        ("320", "CAMI", "CAMI 320", 36),
        ("P 120", "", "P120", 125),
        ("3000", "P", "P3000", None),
    ],
)
def test_a_grade_is_told_with_its_system_and_the_size_of_its_grains(text, system, name, grain_um):
    grade = advice.grade(text, system)
    assert (grade.name, grade.grain_um, grade.problem) == (name, grain_um, "")


@pytest.mark.parametrize(
    ("text", "system", "sentence"),
    [("400", "", "say which"), ("777", "P", "No table knows"), ("CAMI 320", "P", "is no grade of P")],
)
def test_a_grade_that_can_not_be_told_says_why(text, system, sentence):
    assert sentence in advice.grade(text, system).problem


def test_a_step_between_grades_that_is_longer_than_usual_is_a_jump():
    # P120 has grains of 125 µm, P240 of 58.5 µm (FEPA 43, ISO 6344): 125 / 58.5 = 2.14
    jump = advice.grade_jump("P120", "P240")
    assert (round(jump.ratio, 2), jump.level) == (2.14, "caution")


@pytest.mark.parametrize(("before", "after"), [("P80", "P120"), ("P120", "P80"), ("P2500", "P3000")])
def test_a_usual_step_a_way_back_and_a_size_not_known_are_no_jump(before, after):
    assert advice.grade_jump(before, after) is None
