"""The command `test`: every check and test, each part with its time, and one verdict at the end."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from config.running.browser import have_browser
from config.running.cluster import private_cluster
from config.running.console import CannotGoOnError, say
from config.running.folders import PROGRAM
from config.running.parent import on_its_own

PURE = ["workshop/drawing", "materials/science", "projects/geometry", "projects/planning", "projects/review"]
OPTIONS = ("--yes", "--oracles", "--postgres")
# what these try touches no database, so that another database would prove nothing
NO_DATABASE = [
    "tests/architecture",
    "tests/config",
    "tests/materials/science",
    "tests/oracles",
    "tests/projects/geometry",
    "tests/projects/planning",
    "tests/workshop/drawing",
]
# and these look at scripts, at how pages look and lead on, whatever keeps the rows: what the pages do is
# among the fast tests, which run on both
LOOKS_ONLY = [
    "tests/browser/test_all_the_same.py",
    "tests/browser/test_look.py",
    "tests/browser/test_panel_pixels.py",
    "tests/browser/test_pattern.py",
    "tests/browser/test_people.py",
    "tests/browser/test_scripts_acts.py",
    "tests/browser/test_scripts_clocks.py",
    "tests/browser/test_scripts_drafts.py",
]
LINT_IMPORTS = "from importlinter.cli import lint_imports_command; lint_imports_command()"
ORACLES_RUN = ["-p", "config.running.oracles"]
# a file stays in one process, so that what it builds once is built once
SIDE_BY_SIDE = ["-n", "auto", "--maxprocesses", "4", "--dist", "loadfile"]


@dataclass(frozen=True)
class Part:
    """One check of the suite: what it is called and what it runs."""

    name: str
    command: list[str]
    environment: dict[str, str] = field(default_factory=dict)


def python(*arguments: str) -> list[str]:
    """A command of this Python."""
    return [sys.executable, *arguments]


def checks() -> list[Part]:
    """What is looked at before anything is tested."""
    settings = {"DJANGO_SETTINGS_MODULE": "config.settings_test"}
    return [
        Part("habits of code (ruff)", python("-m", "ruff", "check", ".")),
        Part("form of code (ruff)", python("-m", "ruff", "format", "--check", ".")),
        Part("types of the calculations (mypy)", python("-m", "mypy")),
        Part("which room imports which", python("-c", LINT_IMPORTS)),
        Part("missing migrations", python("manage.py", "makemigrations", "--check", "--dry-run"), settings),
        Part("Django's own check", python("manage.py", "check"), settings),
        Part("examples in the calculations", pytest("--doctest-modules", "-p", "no:randomly", *PURE)),
    ]


def pytest(*arguments: str) -> list[str]:
    """A run of pytest."""
    return python("-m", "pytest", *arguments)


def tests(own: list[str], *, oracles: bool, browser: bool, database: str) -> list[Part]:
    """The runs of pytest: fast and browser, or one with the person's own arguments.

    On a second database only what touches a database runs again.
    """
    where = f" on {database}" if database else ""
    with_oracles = oracles and not database
    plugin, environment = (ORACLES_RUN, {"GRAINGLASS_ORACLES": "1"}) if with_oracles else ([], {})
    if own:
        only = [] if with_oracles else ["-m", "not oracle"]
        return [Part(f"chosen tests{where}", pytest(*plugin, *only, *own), environment)]
    left = [f"--ignore={folder}" for folder in NO_DATABASE] if database else []
    parts = [Part(f"fast tests{where}", pytest(*SIDE_BY_SIDE, *left, "-m", "not browser and not oracle"))]
    if with_oracles:
        # one after the other: whether each comparison ran is counted in one process
        parts.append(
            Part("comparisons with reference libraries", pytest(*plugin, "-m", "oracle"), environment)
        )
    if browser:
        left = [f"--ignore={file}" for file in LOOKS_ONLY] if database else []
        parts.append(
            Part(f"browser tests{where}", pytest(*SIDE_BY_SIDE, *left, "-m", "browser and not oracle"))
        )
    return parts


def run_parts(parts: list[Part], database_url: str = "") -> Iterator[tuple[str, bool]]:
    """Run each part and say how long it took; whether it passed comes back."""
    for part in parts:
        say(f"\n=== {part.name}")
        environment = {**on_its_own(), **part.environment}
        if database_url:
            environment["DATABASE_URL"] = database_url
        began = time.monotonic()
        code = subprocess.run(part.command, cwd=PROGRAM, env=environment, check=False).returncode
        verdict = "passed" if code == 0 else f"FAILED ({code})"
        say(f"--- {part.name}: {verdict} in {time.monotonic() - began:.1f} s")
        yield part.name, code == 0


def on_postgres(parts: Callable[[str], list[Part]]) -> Iterator[tuple[str, bool]]:
    """Run the tests again on a private PostgreSQL."""
    try:
        with private_cluster() as (url, version):
            yield from run_parts(parts(f"PostgreSQL {version}"), url)
    except CannotGoOnError as problem:
        say(f"\n{problem}")
        yield "PostgreSQL", False


def split(arguments: list[str]) -> tuple[set[str], list[str]]:
    """Our own options, and what is pytest's."""
    return {word for word in arguments if word in OPTIONS}, [
        word for word in arguments if word not in OPTIONS
    ]


def forget_shop() -> None:
    """Take the shop's own settings out of the environment: tests must not touch its data."""
    for name in [name for name in os.environ if name.startswith("GRAINGLASS_")]:
        if name not in ("GRAINGLASS_SKIP_SETUP",):
            del os.environ[name]
    os.environ.pop("DJANGO_SETTINGS_MODULE", None)
    os.environ.pop("DATABASE_URL", None)


def run_suite(options: set[str], own: list[str]) -> Iterator[tuple[str, bool]]:
    """All parts in order, each with whether it passed."""
    oracles = "--oracles" in options
    problem = have_browser(yes="--yes" in options)
    if not own:
        yield from run_parts(checks())
    yield from run_parts(tests(own, oracles=oracles, browser=not problem, database=""))
    if "--postgres" in options:
        yield from on_postgres(
            lambda database: tests(own, oracles=oracles, browser=not problem, database=database)
        )
    if problem and not own:
        say(f"\nThe browser tests did not run: {problem}")
        yield "browser tests", False


def test(arguments: list[str]) -> int:
    """Run the suite; answer 0 only if every part passed."""
    forget_shop()
    # told to end, it ends as after Ctrl-C: the private PostgreSQL must not outlive it
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    began = time.monotonic()
    results = list(run_suite(*split(arguments)))
    failed = [name for name, passed in results if not passed]
    verdict = f"failed: {', '.join(failed)}" if failed else f"all {len(results)} parts passed"
    say(f"\n=== {verdict}; {time.monotonic() - began:.0f} s in all")
    return 1 if failed else 0
