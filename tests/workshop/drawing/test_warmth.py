from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import NUMBER, parsed, parts_of
from workshop.drawing.clear import crosses
from workshop.drawing.svg import text_width
from workshop.drawing.time_axis import round_hours, said_hour, value_at
from workshop.drawing.warmth import HEIGHTS, LEFT, RIGHT, TOP, WIDTHS, Warmth, warmth_svg

START = datetime(2026, 3, 3, 13, 30, tzinfo=UTC)
POUR = Warmth(
    start=START,
    hours=24,
    expected=[(0, 20), (240, 51), (480, 30), (1440, 20)],
    safe=[(0, 20), (200, 64), (480, 28), (1440, 20)],
    cool=[(0, 20), (300, 40), (600, 28), (1440, 20)],
    limit_c=60,
    limit_name="printed combs soften",
    gel_min=190,
    opens_min=275,
    closes_min=540,
    demould_min=1400,
    shut=[(270, 1110)],
)


def words_in(root):
    return " ".join("".join(part.itertext()) for part in root.iter() if part.tag.endswith("text"))


@pytest.mark.parametrize("media", list(WIDTHS))
def test_the_picture_is_as_wide_as_its_place_and_says_its_result(media):
    root = parsed(warmth_svg(POUR, media, "w"))
    assert float(NUMBER.findall(root.get("viewBox"))[2]) == WIDTHS[media]
    assert root.get("aria-label") == (
        "Inside the pour: 51 °C expected at the hottest, 64 °C on the safe side, limit 60 °C."
    )


def test_what_the_safe_side_has_beyond_the_limit_is_filled():
    root = parsed(warmth_svg(POUR, "wide", "w"))
    assert parts_of(root, "k-stop")
    cooler = replace(POUR, safe=[(0, 20), (200, 59), (1440, 20)])
    assert not parts_of(parsed(warmth_svg(cooler, "wide", "w")), "k-stop")


def test_without_a_safe_side_the_expected_curve_is_held_against_the_limit():
    hot = replace(POUR, expected=[(0, 20), (240, 80), (1440, 20)], safe=(), cool=())
    assert parts_of(parsed(warmth_svg(hot, "wide", "w")), "k-stop")


def test_the_window_has_no_right_bracket_where_it_does_not_close():
    def brackets(closes_min):
        root = parsed(warmth_svg(replace(POUR, closes_min=closes_min), "wide", "w"))
        return [part.get("d") for part in parts_of(root, "l-ink") if "h-5v18h5" in part.get("d", "")]

    assert brackets(540)[0].count("M") == 2
    assert brackets(None)[0].count("M") == 1


def test_gel_window_and_demould_are_said_by_the_clock_on_the_wall():
    said = words_in(parsed(warmth_svg(POUR, "wide", "w")))
    assert "gel 16:40" in said
    assert "next pour 18:05 to 22:30" in said
    assert "demould Wed 12:50" in said


def gel_words(root):
    """The words at gel: where they begin, their base line, and their width on the generous side."""
    for part in root.iter():
        said = "".join(part.itertext())
        if part.tag.endswith("text") and said.startswith("gel"):
            return float(part.get("x")), float(part.get("y")), text_width(said)
    raise AssertionError("gel is not said")


def curves_of(root):
    """The curves of expected and safe side, as corners."""
    found = [part.get("d") for part in root.iter() if part.get("stroke-width") in {"3", "1.5"}]
    return [list(batched(map(float, NUMBER.findall(path)))) for path in found]


def batched(values):
    """Values in pairs."""
    return zip(values, values, strict=True)


@pytest.mark.parametrize("media", list(WIDTHS))
@pytest.mark.parametrize("gel_min", [60, 150, 190, 240, 300, 420, 600, 900, 1380])
@pytest.mark.parametrize("safe_c", [30, 64])
def test_the_words_at_gel_lie_clear_of_the_curves(media, gel_min, safe_c):
    flat = [(0, 20), (200, 22), (300, safe_c * 0.7), (700, 23), (1440, 20)]
    steep = [(0, 20), (200, 24), (290, safe_c), (700, 25), (1440, 20)]
    warmth = replace(POUR, expected=flat, safe=steep, cool=[(0, 20), (1440, 20)], gel_min=gel_min)
    root = parsed(warmth_svg(warmth, media, "w"))
    left, base, wide = gel_words(root)
    curves = curves_of(root)
    assert len(curves) == 2
    assert not [curve for curve in curves if crosses((left, base - 11, left + wide, base + 3), curve)]
    assert LEFT <= left <= left + wide <= WIDTHS[media] - RIGHT


def test_what_lies_beyond_the_picture_is_not_drawn():
    said = words_in(parsed(warmth_svg(replace(POUR, hours=3), "wide", "w")))
    assert "demould" not in said
    assert "next pour" not in said
    assert "gel" not in said


def test_on_paper_the_band_is_lines_and_not_a_tone():
    assert not parts_of(parsed(warmth_svg(replace(POUR, opens_min=None), "paper", "w")), "k-glow")
    assert parts_of(parsed(warmth_svg(replace(POUR, opens_min=None), "wide", "w")), "k-glow")


def test_a_temperature_is_written_as_the_shop_reads_it():
    root = parsed(warmth_svg(POUR, "wide", "w", lambda temp_c: f"{temp_c * 9 / 5 + 32:.0f} °F"))
    assert "124 °F expected" in words_in(root)


def test_shut_hours_are_strips_at_the_foot():
    boxes = [part.get("d") for part in parts_of(parsed(warmth_svg(POUR, "wide", "w")), "k-edge")]
    assert boxes
    assert not parts_of(parsed(warmth_svg(replace(POUR, shut=()), "wide", "w")), "k-edge")


@given(
    peak_c=st.floats(-5, 350),
    safe_c=st.floats(-5, 350),
    at_min=st.floats(1, 5000),
    hours=st.floats(1, 200),
    limit_c=st.floats(30, 150) | st.none(),
    media=st.sampled_from(list(WIDTHS)),
)
def test_any_pour_gives_a_well_formed_picture_with_its_curves_inside(
    peak_c, safe_c, at_min, hours, limit_c, media
):
    warmth = Warmth(
        START,
        hours,
        [(0, 20), (at_min, peak_c), (at_min + 600, 20)],
        [(0, 20), (at_min, safe_c), (at_min + 600, 20)],
        [(0, 20), (at_min + 600, 20)],
        limit_c,
        gel_min=at_min,
        opens_min=at_min,
        demould_min=at_min + 100,
    )
    root = parsed(warmth_svg(warmth, media, "w"))
    (curve,) = [part for part in parts_of(root, "l-ink") if part.get("stroke-width") == "3"]
    heights = [float(y) for y in NUMBER.findall(curve.get("d"))[1::2]]
    assert all(TOP - 0.01 <= y <= TOP + HEIGHTS[media] + 0.01 for y in heights)


def test_hours_of_the_axis_are_round_and_named_as_people_do():
    moments = round_hours(START, 24, 6)
    assert [said_hour(at, 6) for at in moments] == ["18", "midnight", "06", "noon"]


def test_long_pictures_name_days():
    assert [said_hour(at, 48) for at in round_hours(START, 120, 48)] == ["Thu", "Sat"]


def test_a_curve_is_straight_between_its_points_and_stays_after_the_last():
    assert value_at([(0, 20), (10, 30)], 2.5) == 22.5
    assert value_at([(0, 20), (10, 30)], 99) == 30
