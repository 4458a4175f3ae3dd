from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import NUMBER, parsed, parts_of, texts_of
from workshop.drawing.cup_heat import MOST_DOTS, CupHeat, cup_heat_svg
from workshop.drawing.frame import WIDTHS

CUP = CupHeat(
    expected=[(0, 25), (30, 40), (45, 90), (60, 70)],
    safe=[(0, 25), (30, 42), (43, 120), (50, 110)],
    cool=[(0, 25), (40, 35), (60, 50), (120, 30)],
    pot_min=40,
)


def said_in(cup, media="wide", say=None):
    return [said for said, _, _ in texts_of(parsed(cup_heat_svg(cup, media, "c", say)))]


@pytest.mark.parametrize("media", list(WIDTHS))
def test_the_picture_is_as_wide_as_its_place_and_says_its_result(media):
    root = parsed(cup_heat_svg(CUP, media, "c"))
    assert float(NUMBER.findall(root.get("viewBox"))[2]) == WIDTHS[media]
    assert root.get("aria-label") == (
        "A cup left standing: 90 °C expected at the hottest, after 45 min, "
        "120 °C on the safe side; pot life 40 min."
    )


def test_each_curve_is_named_at_its_hottest_point():
    assert {"90 °C expected", "120 °C on the safe side"} <= set(said_in(CUP))


def test_a_cup_that_runs_away_gets_no_figure():
    hot = replace(CUP, safe=[(0, 25), (43, 279)])
    said = said_in(hot)
    assert "runs away (over 150 °C) on the safe side" in said
    assert not any("279" in text for text in said)
    assert "runs away (over 150 °C) on the safe side" in parsed(cup_heat_svg(hot, "wide", "c")).get(
        "aria-label"
    )


def test_what_was_measured_stands_as_dots_beside_the_curves_before_and_after():
    read = replace(CUP, before=[(0, 25), (50, 100)], points=[(0, 25), (30, 41), (45, 88), (60, 71)])
    root = parsed(cup_heat_svg(read, "wide", "c"))
    assert len([part for part in root.iter() if part.tag.endswith("circle")]) == 4
    assert {"100 °C by the sheet alone", "88 °C measured"} <= {said for said, _, _ in texts_of(root)}


def test_many_readings_are_thinned_in_the_picture():
    many = replace(CUP, points=[(n / 10, 25 + n / 10) for n in range(600)])
    dots = [part for part in parsed(cup_heat_svg(many, "wide", "c")).iter() if part.tag.endswith("circle")]
    assert 24 < len(dots) <= MOST_DOTS


def test_the_pot_life_is_marked_and_comes_from_the_sheet():
    assert "pot life by the sheet, 40 min" in said_in(CUP)
    assert not [text for text in said_in(replace(CUP, pot_min=None)) if "pot life" in text]


def test_a_slow_cup_counts_in_hours():
    slow = CupHeat([(0, 25), (420, 34), (860, 28)], pot_min=480)
    said = said_in(slow)
    assert "pot life by the sheet, 8 h" in said
    assert any(text.endswith(" h") and text[0].isdigit() for text in said)


def test_the_band_ends_where_one_of_its_curves_does():
    (band,) = parts_of(parsed(cup_heat_svg(CUP, "wide", "c")), "k-glow")
    reached = max(float(x) for x in NUMBER.findall(band.get("d"))[::2])
    ends = 46 + 50 / CUP.until_min * (WIDTHS["wide"] - 16 - 46)  # the safe side ends after 50 min
    assert reached == pytest.approx(ends, abs=0.01)


def test_on_paper_the_band_is_lines_and_not_a_tone():
    assert not parts_of(parsed(cup_heat_svg(CUP, "paper", "c")), "k-glow")


def test_a_temperature_is_written_as_the_shop_reads_it():
    said = said_in(CUP, say=lambda temp_c: f"{temp_c * 9 / 5 + 32:.0f} °F")
    assert "194 °F expected" in said


@given(
    peak_c=st.floats(20.5, 420),
    safe_c=st.floats(20.5, 420),
    at_min=st.floats(1, 3000),
    pot_min=st.floats(1, 3000) | st.none(),
    read_c=st.floats(20, 400) | st.none(),
    media=st.sampled_from(list(WIDTHS)),
)
def test_any_cup_gives_a_well_formed_picture_whose_words_lie_within(
    peak_c, safe_c, at_min, pot_min, read_c, media
):
    cup = CupHeat(
        [(0, 20), (at_min, peak_c), (1.5 * at_min, 20)],
        [(0, 20), (at_min, safe_c)],
        [(0, 20), (3 * at_min, 21)],
        before=[(0, 20), (2 * at_min, peak_c)] if read_c else (),
        points=[(0, 20), (at_min, read_c)] if read_c else (),
        pot_min=pot_min,
    )
    root = parsed(cup_heat_svg(cup, media, "c"))
    assert all(right <= WIDTHS[media] + 1 for _, _, right in texts_of(root))
    assert all(left >= -1 for _, left, _ in texts_of(root))
