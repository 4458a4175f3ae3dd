"""Where things lie: the program, its private environment and the data of the shop."""

import os
import secrets
import tempfile
from pathlib import Path

from config.running.console import CannotGoOnError

PROGRAM = Path(__file__).resolve().parent.parent.parent
ENVIRONMENT = PROGRAM / ".venv"
SECRET_BYTES = 64


def data_folder() -> Path:
    """The folder named by GRAINGLASS_DATA, or `var` beside the program."""
    return Path(os.environ.get("GRAINGLASS_DATA") or PROGRAM / "var").absolute()


def make_private(folder: Path) -> Path:
    """Make a folder that only its owner may look into; one that exists is left as it is."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        tempfile.TemporaryFile(dir=folder).close()
    except OSError as error:
        raise CannotGoOnError(
            f"The folder {folder} can't be written to ({error.strerror}). "
            "Give this user the right to write there, or name another folder in GRAINGLASS_DATA."
        ) from error
    return folder


def write_private(path: Path, content: bytes) -> None:
    """Write a file that only its owner may read, whole or not at all."""
    half = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    handle = os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.replace(half, path)


def make_secret(folder: Path) -> None:
    """Keep a random secret in the data folder, unless the environment brings one or it is there."""
    kept = folder / "secret"
    if os.environ.get("GRAINGLASS_SECRET") or (kept.exists() and kept.read_text().strip()):
        return
    write_private(kept, secrets.token_urlsafe(SECRET_BYTES).encode())
