"""How the browser of the walks is started; every test in this folder is one of them."""

import os
from pathlib import Path

import pytest

from config.running.machine import CHROMIUM

HERE = Path(__file__).resolve().parent
QUIET = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
"""The browser talks to our server only."""
PATIENCE_MS = 15_000


def pytest_collection_modifyitems(items):
    """Mark each test in this folder, so that none of them slips in among the fast ones."""
    for item in items:
        if HERE in Path(item.path).parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    """The system's chromium where there is one; as root it can't make its sandbox."""
    as_root = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    ours = {"executable_path": str(CHROMIUM)} if CHROMIUM.exists() else {}
    return {**browser_type_launch_args, **ours, "args": QUIET + as_root}


@pytest.fixture
def context(context):
    """A context that gives up after a few seconds, not after thirty."""
    context.set_default_timeout(PATIENCE_MS)
    return context
