"""System packages: installed where we may, asked for at a terminal, else named in one line to type."""

import subprocess
from collections.abc import Callable

from config.running.console import CannotGoOnError, say, timed
from config.running.machine import LIBRARIES, Machine

APT = ["apt-get", "install", "-y", "--no-install-recommends"]
PANGO = {
    "Darwin": "Sheets are printed with the Pango library. If they fail, type: brew install pango",
    "Windows": (
        "Sheets are printed with the Pango library, which Windows does not bring. All else works without it; "
        "the documentation of WeasyPrint says under 'Windows' how to add it."
    ),
    "Linux": "Sheets are printed with the Pango library, which was not found: install your system's pango.",
}


def line_to_type(packages: list[str], machine: Machine) -> str:
    """The one line that installs the packages, for this person on this machine.

    >>> line_to_type(["chromium"], Machine("Linux", apt=True, root=True))
    'apt-get update && apt-get install -y --no-install-recommends chromium'
    """
    update, install = "apt-get update", " ".join([*APT, *packages])
    if machine.root:
        return f"{update} && {install}"
    if machine.sudo:
        return f"sudo {update} && sudo {install}"
    return f"su -c '{update} && {install}'"


def allowed(packages: list[str], machine: Machine, *, yes: bool) -> bool:
    """Whether we may install: as root, with --yes, or after asking at the terminal."""
    if machine.root or (yes and machine.sudo):
        return True
    if yes or not machine.terminal:
        return False
    say(f"This machine lacks: {' '.join(packages)}.")
    answer = input(f"Install them now with this line?\n  {line_to_type(packages, machine)}\n[y/N] ")
    return answer.strip().lower() in ("y", "yes")


def apt(command: list[str], machine: Machine) -> subprocess.CompletedProcess[str]:
    """Run apt-get as root: with sudo where we are somebody else, with su where there is no sudo."""
    command = ["env", "DEBIAN_FRONTEND=noninteractive", *command]
    if not machine.root and machine.sudo:
        command = ["sudo", *([] if machine.terminal else ["-n"]), *command]
    elif not machine.root:
        command = ["su", "-c", " ".join(command)]
    return subprocess.run(command, check=False, capture_output=True, text=True)


def install(packages: list[str], machine: Machine) -> None:
    """Install with the lists of packages that are there, and with fresh ones if that fails."""
    with timed(f"Installing {' '.join(packages)}"):
        if apt([*APT, *packages], machine).returncode == 0:
            return
        apt(["apt-get", "update"], machine)
        last = apt([*APT, *packages], machine)
        if last.returncode:
            say(last.stderr.strip())


def ensure(machine: Machine, missing: Callable[[], list[str]], *, yes: bool) -> None:
    """Have the system packages, or stop with the line to type; without apt, say what to look for."""
    packages = missing()
    if not machine.apt:
        if set(packages) & set(LIBRARIES.values()):
            say(PANGO.get(machine.system, PANGO["Linux"]))
        return
    if packages and allowed(packages, machine, yes=yes):
        install(packages, machine)
        packages = missing()
    if packages:
        raise CannotGoOnError(
            f"This machine lacks {' '.join(packages)}. Type this line, then run the same command again:\n"
            f"  {line_to_type(packages, machine)}"
        )
