"""Fisher's exact test against scipy (its version stands in the locks)."""

import random

import pytest

from projects.review.counts import fisher_exact

stats = pytest.importorskip("scipy.stats")
pytestmark = pytest.mark.oracle
DEALT = random.Random(5)


def tables():
    """Small ones, lopsided ones, and large ones."""
    for most in (6, 60, 600):
        for _ in range(40):
            totals = DEALT.randint(1, most), DEALT.randint(1, most)
            yield DEALT.randint(0, totals[0]), totals[0], DEALT.randint(0, totals[1]), totals[1]


@pytest.mark.parametrize("table", [(4, 5, 1, 45), *tables()])
def test_chance_is_what_scipy_says(table):
    failed_with, total_with, failed_without, total_without = table
    rows = [[failed_with, total_with - failed_with], [failed_without, total_without - failed_without]]
    assert fisher_exact(*table) == pytest.approx(stats.fisher_exact(rows).pvalue, rel=1e-9, abs=1e-300)
