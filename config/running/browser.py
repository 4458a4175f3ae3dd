"""A browser for the tests: the system's chromium, else the one that Playwright brings."""

import subprocess
import sys

from config.running.console import say
from config.running.machine import CHROMIUM, Machine

TRY = """
import os, sys
from playwright.sync_api import sync_playwright
path = sys.argv[1] or None
root = hasattr(os, "geteuid") and os.geteuid() == 0
args = ["--disable-gpu", "--disable-background-networking", *(["--no-sandbox"] if root else [])]
with sync_playwright() as playwright:
    playwright.chromium.launch(executable_path=path, args=args).close()
"""


def opens() -> str:
    """Start the browser once; empty when it works, else the last thing it said."""
    path = str(CHROMIUM) if CHROMIUM.exists() else ""
    tried = subprocess.run([sys.executable, "-c", TRY, path], capture_output=True, text=True, check=False)
    lines = [line for line in tried.stderr.splitlines() if line.strip()]
    return "" if tried.returncode == 0 else (lines[-1].strip() if lines else "it ended without a word")


def have_browser(*, yes: bool) -> str:
    """Have a browser that opens: empty, or why there is none."""
    problem = opens()
    if not problem or CHROMIUM.exists():
        return problem
    say("Fetching the browser of Playwright for the tests ...")
    machine = Machine.here()
    may = machine.root or (machine.sudo and (yes or machine.terminal))
    libraries = ["--with-deps"] if machine.apt and may else []
    command = [sys.executable, "-m", "playwright", "install", *libraries, "chromium"]
    if subprocess.run(command, check=False).returncode:
        return "no browser could be fetched. Install chromium, or look at the lines above."
    return opens()
