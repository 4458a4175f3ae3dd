"""A PostgreSQL of our own for one run of the tests: a folder, a socket, no service, gone afterwards."""

import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from config.running.console import CannotGoOnError
from config.running.machine import postgres_folder

OPTIONS = "-c listen_addresses='' -c unix_socket_directories={folder} -c fsync=off -c max_connections=50"


def as_owner() -> dict[str, object]:
    """Who runs the server: it refuses to run as root, so the user that Debian made for it does."""
    if os.geteuid() != 0:
        return {}
    return {"user": "postgres", "group": "postgres", "extra_groups": []}


def call(command: list[str | Path], folder: Path) -> str:
    """Run one of PostgreSQL's programs."""
    done = subprocess.run(  # type: ignore[call-overload]
        command, cwd=folder, capture_output=True, text=True, check=False, **as_owner()
    )
    if done.returncode:
        raise CannotGoOnError(f"PostgreSQL did not start: {done.stderr.strip() or done.stdout.strip()}")
    return str(done.stdout)


@contextmanager
def private_cluster() -> Iterator[tuple[str, str]]:
    """Its address and version while the block runs."""
    programs = postgres_folder()
    if programs is None:
        raise CannotGoOnError("PostgreSQL is not installed: its programs initdb and pg_ctl were not found.")
    folder = Path(tempfile.mkdtemp(prefix="grainglass-postgres-", dir="/tmp"))  # noqa: S108 a socket's path is short
    data, log = folder / "data", folder / "log"
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres", "postgres")
    try:
        made = ["-A", "trust", "-U", "postgres", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync"]
        version = re.search(r"\d+", call([programs / "initdb", "--version"], folder))
        call([programs / "initdb", "-D", data, *made], folder)
        options = OPTIONS.format(folder=folder)
        # its log must not be our pipe: the server would hold it open and we would wait for ever
        call([programs / "pg_ctl", "-D", data, "-l", log, "-w", "-o", options, "start"], folder)
        yield (
            f"postgres://postgres@/grainglass?host={folder}",
            version[0] if version else "",
        )
    finally:
        if (data / "postmaster.pid").exists():
            call([programs / "pg_ctl", "-D", data, "-m", "immediate", "-w", "stop"], folder)
        shutil.rmtree(folder, ignore_errors=True)
