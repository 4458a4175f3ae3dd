import pytest

from materials.fit import advice, cup_tests
from tests.factories import AT, CupTestFactory, ResinFactory
from tests.materials.fit.room import fitted

pytestmark = pytest.mark.django_db


def test_without_a_cup_test_the_fits_rest_on_the_sheet():
    bands = advice.bands_of(ResinFactory())
    assert bands.test is None
    assert [bands.kinetics[band].c for band in advice.BANDS] == [0.2, 0.1, 0.05]


def test_a_sheet_carries_all_that_the_model_takes_of_it():
    resin = ResinFactory(
        second_pot_minutes=45, second_pot_mass_g=100, second_pot_c=35, cup_peak_c=140, viscosity_pa_s=0.8,
        depth_c=22, pot_meaning="gel",
    )  # fmt: skip
    sheet = advice.sheet_of(resin)
    assert (sheet.pot_life.minutes, sheet.pot_life.criterion) == (90, "gel")
    assert (sheet.second_pot_life.temp_c, sheet.cup_peak_c, sheet.viscosity_pa_s) == (35, 140, 0.8)
    assert (sheet.max_depth_mm, sheet.depth_temp_c) == (25, 22)


def test_forecasts_rest_on_the_newest_kept_test():
    older = fitted(ResinFactory())
    newer = fitted(older.resin, taken_at=AT.replace(day=12))
    assert advice.bands_of(older.resin).test == newer
    cup_tests.remove(member_of(newer), newer, at=AT, removed=True)
    assert advice.bands_of(older.resin).test == older


def member_of(test):
    return test.created_by.memberships.get(shop=test.shop)


def test_a_test_that_was_not_fitted_changes_nothing():
    assert advice.bands_of(CupTestFactory().resin).test is None


def test_stored_figures_give_back_the_same_fits():
    test = fitted(ResinFactory(), {"heat_j_per_kg": 222_000.0, "c": 0.3})
    bands = advice.bands_of(test.resin)
    heats = [bands.kinetics[band].heat_j_per_kg for band in advice.BANDS]
    assert heats == [192_000, 222_000, 252_000]
    assert [bands.kinetics[band].c for band in advice.BANDS] == [0.6, 0.3, 0.15]


def test_how_thick_the_resin_is_stays_the_sheets():
    test = fitted(ResinFactory())
    test.resin.viscosity_pa_s = 1.2
    assert {own.viscosity_pa_s for own in advice.bands_of(test.resin).kinetics.values()} == {1.2}


def test_a_cups_curve_rises_to_its_peak():
    bands = advice.bands_of(ResinFactory(pot_minutes=40))
    cup = advice.cup_of(bands.kinetics, 100, 25)
    for band, curve in cup.curves.items():
        at_min, peak_c = cup.peaks[band]
        until = [temp_c for minutes, temp_c in curve if minutes <= at_min]
        assert until == sorted(until)
        assert until[-1] == peak_c


def test_less_resin_in_the_stack_may_be_poured_deeper_and_the_safe_side_is_less_deep():
    depths = advice.depths_of(advice.bands_of(ResinFactory(pot_minutes=360)))
    expected, safe = ([mm for _, mm in line] for line in (depths.expected, depths.safe))
    assert expected == sorted(expected, reverse=True)
    assert all(less < more for less, more in zip(safe, expected, strict=True))


def test_the_depths_are_those_of_the_solver_as_printed():
    """cure.md prints 50 mm at half resin and 24.8 mm neat for 6 h at 25 °C, a limit of 60 °C."""
    depths = dict(advice.depths_of(advice.bands_of(ResinFactory(pot_minutes=360))).expected)
    assert depths[50] == pytest.approx(50.3, rel=0.02)
    assert depths[100] == pytest.approx(24.8, rel=0.02)


def test_what_was_reckoned_is_kept():
    bands = advice.bands_of(ResinFactory(pot_minutes=77))
    assert advice.depths_of(bands) is advice.depths_of(advice.bands_of(ResinFactory(pot_minutes=77)))
    assert advice.cup_of(bands.kinetics, 100, 25) is advice.cup_of(bands.kinetics, 100, 25)


def test_a_sheet_that_can_not_be_fitted_is_told_with_the_figure_to_look_at():
    resin = ResinFactory(pot_minutes=600, pot_meaning="temperature")
    with pytest.raises(advice.UNFITTED, match="no rate gives a pot life") as problem:
        advice.bands_of(resin)
    assert "Look at the pot life and at what the sheet means by it." in advice.why_not(problem.value)
