import pytest

from materials.science.resin.facts import Finding
from projects.check import told


def finding(code="heat", level="stop", figure=51.0, limit=60.0, low=43.0, high=64.0, unit="°C"):
    return Finding(code, level, figure, low, high, limit, unit, "Why.", "What to do.", "A sheet")


class Overruled:
    def __init__(self, code):
        self.code = code


@pytest.mark.parametrize(
    ("levels", "first", "rest"),
    [
        (["stop", "caution", "caution"], "Not yet.", "One stop, two cautions."),
        (["caution", "clear"], "With care.", "One caution."),
        (["clear"] * 17, "Pour.", "17 fine."),
        (["stop"] * 11, "Not yet.", "11 stops."),
    ],
)
def test_the_verdict_counts_what_stands_against_the_pour(levels, first, rest):
    verdict = told.verdict_of(told.rows_of([finding(level=level) for level in levels], "metric"))
    assert (verdict.first, verdict.rest) == (first, rest)


def test_what_is_not_known_is_counted_apart():
    rows = told.rows_of(
        [finding(), finding("missing_reading", "caution", None, None, None, None, "")], "metric"
    )
    assert told.verdict_of(rows).rest == "One stop, one thing not known."


def test_an_overruled_stop_stays_on_the_page_and_no_longer_holds_the_pour():
    rows = told.rows_of([finding()], "metric", [Overruled("heat")])
    assert rows[0].overruled
    assert told.verdict_of(rows).first == "With care."
    assert told.verdict_of(rows).rest == "One stop overruled."


def test_a_figure_is_read_in_the_shop_s_units():
    assert (told.row_of(finding(), "metric").number, told.row_of(finding(), "metric").unit) == ("51", "°C")
    assert (told.row_of(finding(), "inch").number, told.row_of(finding(), "inch").unit) == ("124", "°F")


def test_a_figure_without_end_is_said_and_not_drawn():
    row = told.row_of(finding("bubbles", "caution", float("inf"), 50.0, None, None, "µm"), "metric")
    assert row.number == "none"
    assert not row.svg


def test_every_finding_has_a_name_for_each_level():
    from typing import get_args

    from materials.science.resin.facts import Code

    assert set(told.NAMES) == set(get_args(Code))


def test_findings_that_were_kept_come_back_as_they_were():
    found = [finding(), finding("bubbles", "caution", float("inf"), 50.0, None, None, "µm")]
    again = told.findings_of(told.told(found))
    assert again[0] == found[0]
    assert again[1].figure is None
