"""Helpers: commands of the program in a process and a data folder of their own."""

import subprocess
import sys
from pathlib import Path

from config.running.parent import on_its_own

PROGRAM = Path(__file__).resolve().parents[2]
SAFE = {
    "GRAINGLASS_PRODUCTION": "1",
    "GRAINGLASS_SECRET": "a-secret-made-for-this-test-only-0123456789-abcdefghijklmnop",
    "GRAINGLASS_HOSTS": "panels.example.org",
}
"""The least that production wants."""


def clean_environment(**settings):
    """This environment without the shop's settings, and those that the test is about."""
    kept = {
        name: value for name, value in on_its_own().items() if not name.startswith(("GRAINGLASS_", "DJANGO_"))
    }
    kept.pop("DATABASE_URL", None)
    return {**kept, "GRAINGLASS_SKIP_SETUP": "1", **settings}


def python(*arguments, **settings):
    """Run this Python with settings from the environment; what it said and its exit code."""
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=PROGRAM,
        env=clean_environment(**settings),
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def manage(*words, **settings):
    """Run a command of manage.py."""
    return python("manage.py", *words, **settings)
