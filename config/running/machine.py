"""What the machine offers beyond Python: which system, who we are, what lies on its paths."""

import ctypes
import os
import platform
import shutil
import sys
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

CHROMIUM = Path("/usr/bin/chromium")
LIBRARIES = {
    "libpango-1.0.so.0": "libpango-1.0-0",
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
}
"""Files that printing a sheet loads, and the Debian packages that bring them (and a fallback font)."""
TEST_LIBRARIES = {"libatomic.so.1": "libatomic1"}
"""The same for Playwright, which drives the browser of the tests by a program of its own."""


def has_library(name: str) -> bool:
    """Whether the system's loader finds a shared library."""
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def kinds(release: str) -> frozenset[str]:
    """The names that an os-release text gives the system: its own and those it is like.

    >>> sorted(kinds('ID=linuxmint\\nID_LIKE="ubuntu debian"'))
    ['debian', 'linuxmint', 'ubuntu']
    """
    found: set[str] = set()
    for line in release.splitlines():
        name, _, value = line.partition("=")
        if name in ("ID", "ID_LIKE"):
            found.update(value.strip().strip("\"'").split())
    return frozenset(found)


def venv_package() -> str:
    """The Debian package that lets this Python make a private environment."""
    if os.path.realpath("/usr/bin/python3") == os.path.realpath(sys.executable):
        return "python3-venv"
    return f"python3.{sys.version_info.minor}-venv"


def postgres_folder() -> Path | None:
    """Where the newest PostgreSQL server's programs lie."""
    debian = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda found: int(found.parts[-3]))
    if debian:
        return debian[-1].parent
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


@dataclass(frozen=True)
class Machine:
    """A system and what may be done on it."""

    system: str
    kinds: frozenset[str] = frozenset()
    apt: bool = False
    root: bool = False
    sudo: bool = False
    terminal: bool = False

    @classmethod
    def here(cls) -> "Machine":
        """This machine."""
        release = Path("/etc/os-release")
        return cls(
            system=platform.system(),
            kinds=kinds(release.read_text()) if release.exists() else frozenset(),
            apt=shutil.which("apt-get") is not None,
            root=hasattr(os, "geteuid") and os.geteuid() == 0,
            sudo=shutil.which("sudo") is not None,
            terminal=sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty(),
        )

    @property
    def debian_browser(self) -> bool:
        """Whether the system has a chromium package; Ubuntu's only points to another store."""
        return self.apt and "ubuntu" not in self.kinds

    def missing(self, *, new: bool, test: bool = False, postgres: bool = False) -> list[str]:
        """The Debian packages that are wanting; `new` when a private environment must be made."""
        wanting = [venv_package()] if new and not find_spec("ensurepip") else []
        libraries = LIBRARIES | (TEST_LIBRARIES if test else {})
        wanting += [package for name, package in libraries.items() if not has_library(name)]
        if test and self.debian_browser and not CHROMIUM.exists():
            wanting.append("chromium")
        if postgres and postgres_folder() is None:
            wanting.append("postgresql")
        return wanting
