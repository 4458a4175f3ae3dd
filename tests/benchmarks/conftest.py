"""Prints the ratios of a run of benchmarks; does nothing in a run without any."""

import pytest

QUICKEST = pytest.StashKey[dict]()
UNIT = "an empty page, signed in"


@pytest.fixture
def measured(benchmark, request):
    """Measure an act: `measured("what it is", act, rounds=5)`; its quickest round goes into the table."""

    def measure(name, act, *, rounds, warmups=1):
        answer = benchmark.pedantic(act, rounds=rounds, warmup_rounds=warmups)
        # the quickest round: what else the machine does can only add to the others
        if benchmark.stats:  # nothing is measured with --benchmark-disable
            request.config.stash.setdefault(QUICKEST, {})[name] = benchmark.stats.stats.min
        return answer

    return measure


def pytest_terminal_summary(terminalreporter, config):
    """The table: each quickest round in milliseconds and as a multiple of the unit's."""
    quickest = config.stash.get(QUICKEST, {})
    if UNIT not in quickest:
        return
    terminalreporter.section("how many empty pages each takes")
    for name, seconds in sorted(quickest.items(), key=lambda row: row[1]):
        ratio = seconds / quickest[UNIT]
        terminalreporter.write_line(f"{name:<40} {seconds * 1000:>9.1f} ms {ratio:>8.1f} x")
