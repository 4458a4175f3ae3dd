"""The private environment: Python packages in a folder of their own, as the hashed lists say."""

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from config.running import lists
from config.running.console import CannotGoOnError, timed
from config.running.folders import ENVIRONMENT

# pip is asked for too: after an upgrade of the system's Python it is the first thing missing
WHO = "import pip, sys; print(sys.version.split()[0], sys.prefix)"


def inside() -> bool:
    """Whether this very process runs in the private environment."""
    return Path(sys.prefix).resolve() == ENVIRONMENT.resolve()


@dataclass(frozen=True)
class Environment:
    """A folder with a Python of its own."""

    folder: Path = ENVIRONMENT

    @property
    def python(self) -> Path:
        """The Python inside."""
        return self.folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    @property
    def stamp(self) -> Path:
        """The note of what was installed, written last."""
        return self.folder / "installed.json"

    def identity(self) -> str:
        """Which Python runs inside and where; empty when none does, as after it was removed."""
        try:
            asked = subprocess.run([self.python, "-c", WHO], capture_output=True, text=True, check=False)
        except OSError:
            return ""
        return asked.stdout.strip() if asked.returncode == 0 else ""

    def holds(self, block: str) -> bool:
        """Whether the packages of the block were installed whole, by this Python, from today's list."""
        try:
            noted = json.loads(self.stamp.read_text())
        except (OSError, ValueError):
            return False
        if noted.get("lists", {}).get(block) != lists.checksum(block):
            return False
        return bool(noted.get("identity")) and noted["identity"] == self.identity()

    def make(self) -> None:
        """Make it anew; what was left of a broken one goes first."""
        if self.folder.exists():
            shutil.rmtree(self.folder)
        with timed(f"Making a private environment in {self.folder}"):
            made = subprocess.run([sys.executable, "-m", "venv", self.folder], check=False)
        if made.returncode:
            raise CannotGoOnError(f"Python could not make {self.folder}: the lines above say why.")

    def install(self, block: str) -> None:
        """Install the full list of the block; every file must have the hash that the list names."""
        if not self.identity():
            self.make()
        self.stamp.unlink(missing_ok=True)
        command: list[str | Path] = [
            self.python,
            "-m",
            "pip",
            "--disable-pip-version-check",
            "install",
            "--no-user",
        ]
        command += ["--quiet", "--no-input", "--require-hashes", "-r", lists.lock(block)]
        with timed(f"Installing the Python packages of config/locks/{block}.txt"):
            done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode:
            raise CannotGoOnError(
                f"{done.stderr.strip()}\nThe packages could not be installed: the lines above say why. "
                "Is this machine on a network? Then run it again; what is there already is kept."
            )
        noted = {"identity": self.identity(), "lists": {b: lists.checksum(b) for b in lists.up_to(block)}}
        self.stamp.write_text(json.dumps(noted, indent=1))
