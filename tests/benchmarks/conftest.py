"""Prints the ratios of a run of benchmarks; does nothing in a run without any."""

import pytest

MEDIANS = pytest.StashKey[dict]()
UNIT = "an empty page, signed in"


@pytest.fixture
def measured(benchmark, request):
    """Measure an act: `measured("what it is", act, rounds=5)`; its median goes into the table."""

    def measure(name, act, *, rounds, warmups=1):
        answer = benchmark.pedantic(act, rounds=rounds, warmup_rounds=warmups)
        if benchmark.stats:  # nothing is measured with --benchmark-disable
            request.config.stash.setdefault(MEDIANS, {})[name] = benchmark.stats.stats.median
        return answer

    return measure


def pytest_terminal_summary(terminalreporter, config):
    """The table: each median in milliseconds and as a multiple of the unit's."""
    medians = config.stash.get(MEDIANS, {})
    if UNIT not in medians:
        return
    terminalreporter.section("how many empty pages each takes")
    for name, seconds in sorted(medians.items(), key=lambda row: row[1]):
        ratio = seconds / medians[UNIT]
        terminalreporter.write_line(f"{name:<40} {seconds * 1000:>9.1f} ms {ratio:>8.1f} x")
