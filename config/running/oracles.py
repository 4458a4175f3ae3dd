"""A plugin for pytest: with the reference libraries asked for, a comparison that did not run is a failure."""

import pytest

EXPECTED: set[str] = set()
RAN: set[str] = set()
SKIPPED_FILES: list[str] = []


def pytest_itemcollected(item: pytest.Item) -> None:
    """Note each comparison, also one that is deselected later."""
    if item.get_closest_marker("oracle"):
        EXPECTED.add(item.nodeid)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    """Note a file that skipped itself, as it does without its library."""
    if report.skipped:
        SKIPPED_FILES.append(report.nodeid)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Note each comparison that was carried out, whatever came of it."""
    if report.when == "call" and not report.skipped:
        RAN.add(report.nodeid)


def missed() -> list[str]:
    """What should have been compared and was not."""
    if not EXPECTED and not SKIPPED_FILES:
        return ["no comparison with a reference library was found"]
    return sorted(EXPECTED - RAN) + SKIPPED_FILES


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Fail the run if a comparison was missed."""
    if missed() and not session.config.option.collectonly:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Name what was missed."""
    for name in missed():
        terminalreporter.write_line(f"NOT COMPARED: {name}")
