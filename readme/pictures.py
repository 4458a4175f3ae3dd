"""Makes the pictures of README.md: six pages of the demo, on a phone and on a desk, written beside this file.

It asks for the packages of the tests: `.venv/bin/python readme/pictures.py`. The shop that it shows is loaded
into a folder of its own and is gone afterwards.
"""

import io
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.request import urlopen

HERE = Path(__file__).resolve().parent
PROGRAM = HERE.parent
PORT = 8191
ORIGIN = f"http://127.0.0.1:{PORT}"
SIZES = {"phone": (390, 844), "desktop": (1360, 900)}
COLOURS, MOST_BYTES = 128, 120_000
PATIENCE_S = 60


def main():
    """Load the demo, serve it, and take every picture."""
    sys.path.insert(0, str(PROGRAM))
    from playwright.sync_api import sync_playwright

    from config.running.machine import CHROMIUM

    with tempfile.TemporaryDirectory() as data:
        given = {**os.environ, "GRAINGLASS_DATA": data, "GRAINGLASS_SKIP_SETUP": "1"}
        for command in ("prepare", "demo"):
            subprocess.run([sys.executable, "manage.py", command], cwd=PROGRAM, env=given, check=True)
        serve = [
            sys.executable,
            "-m",
            "gunicorn",
            "config.wsgi",
            "--bind",
            f"127.0.0.1:{PORT}",
            "--threads",
            "4",
        ]
        server = subprocess.Popen(serve, cwd=PROGRAM, env=given)
        try:
            wait_for_answer()
            with sync_playwright() as player:
                ours = {"executable_path": str(CHROMIUM)} if CHROMIUM.exists() else {}
                browser = player.chromium.launch(**ours, args=["--no-sandbox", "--disable-gpu"])
                take_all(browser.new_page(color_scheme="light", reduced_motion="reduce"))
        finally:
            server.terminate()
            server.wait()


def wait_for_answer():
    """Until the shop answers."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        try:
            return urlopen(f"{ORIGIN}/health/").close()
        except OSError:
            time.sleep(0.5)
    raise SystemExit("The shop did not answer.")


def take_all(page):
    """Every page at both sizes."""
    page.goto(ORIGIN)
    page.get_by_role("button", name="Look around the demo").click()
    page.wait_for_url("**/now/")
    now = page.url
    for name, way in WAYS.items():
        page.set_viewport_size({"width": 1360, "height": 900})
        page.goto(now)
        way(page)
        there = page.url
        for size, (wide, high) in SIZES.items():
            page.set_viewport_size({"width": wide, "height": high})
            page.goto(there)
            page.wait_for_load_state("networkidle")
            write(page.screenshot(), HERE / f"{name}-{size}.png")


def write(shot, path):
    """The picture with few colours; says what it weighs."""
    from PIL import Image

    picture = Image.open(io.BytesIO(shot)).convert("RGB")
    picture.quantize(COLOURS, dither=Image.Dither.NONE).save(path, optimize=True)
    weighs = path.stat().st_size
    print(f"{path.name}  {weighs // 1000} kB")
    if weighs > MOST_BYTES:
        raise SystemExit(f"{path.name} weighs more than {MOST_BYTES // 1000} kB.")


def follow(page, *words):
    """Follow links by what is written on them, one after the other."""
    for word in words:
        page.get_by_role("link", name=word).first.click()
        page.wait_for_load_state()


def to_the_mix(page):
    """The cup that is mixed next."""
    follow(page, "Projects", "Lamp hood", "Steps", "Pour block A", "Mix another cup")


def to_the_check(page):
    """The check before a pour that is planned."""
    follow(page, "Projects", "Headboard", "Steps", "Pour block A", "Check before the mix")


WAYS = {
    "now": lambda page: None,
    "shelf": lambda page: follow(page, "Shelf"),
    "panel": lambda page: follow(page, "Projects", "Tide lines", "Panel"),
    "mix": to_the_mix,
    "check": to_the_check,
    "lessons": lambda page: follow(page, "Lessons"),
}

if __name__ == "__main__":
    main()
