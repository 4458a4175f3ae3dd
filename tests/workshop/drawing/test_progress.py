import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import parsed, parts_of
from workshop.drawing.progress import MOST_SLOTS, progress_svg


@given(total=st.integers(1, 500), share=st.floats(0, 1))
def test_light_is_as_wide_as_the_job_is_far(total, share):
    done = round(total * share)
    root = parsed(progress_svg(done, total, "Fitting"))
    (light,) = parts_of(root, "passed")
    assert float(light.get("width").rstrip("%")) == pytest.approx(100 * done / total, abs=1e-3)


@pytest.mark.parametrize(("total", "strips"), [(4, 5), (MOST_SLOTS, MOST_SLOTS + 1), (90, MOST_SLOTS + 1)])
def test_a_strip_stands_between_two_stages_as_far_as_there_is_room(total, strips):
    assert len(parts_of(parsed(progress_svg(1, total, "Fitting")), "k-lam")) == strips


def test_it_says_how_far_the_job_is():
    assert parsed(progress_svg(3, 4, "Fitting <Tarn>")).get("aria-label") == "Fitting <Tarn>: 3 of 4 done."


@pytest.mark.parametrize(("done", "total"), [(5, 4), (-1, 4), (0, 0)])
def test_what_is_no_progress_is_refused(done, total):
    with pytest.raises(ValueError, match="is no progress"):
        progress_svg(done, total, "Fitting")
