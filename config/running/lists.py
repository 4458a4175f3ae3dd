"""The lists of packages: three blocks of direct pins, and a full hashed list for each."""

import hashlib
from pathlib import Path

from config.running.folders import PROGRAM

BLOCKS = ("run", "test", "oracles")
LOCKS = PROGRAM / "config" / "locks"


def pins(block: str, text: str | None = None) -> list[str]:
    """The direct pins that stand under `# --- block ---` in requirements.txt."""
    lines = (PROGRAM / "requirements.txt").read_text() if text is None else text
    found: list[str] = []
    current = ""
    for line in lines.splitlines():
        if line.startswith("# --- "):
            current = line.strip("# -")
        elif current == block and line.strip() and not line.startswith("#"):
            found.append(line.strip())
    return found


def up_to(block: str) -> tuple[str, ...]:
    """The blocks that the full list of `block` holds: itself and those before it."""
    return BLOCKS[: BLOCKS.index(block) + 1]


def lock(block: str) -> Path:
    """The full, hashed list of a block."""
    return LOCKS / f"{block}.txt"


def checksum(block: str) -> str:
    """What changes when the full list of a block changes."""
    return hashlib.sha256(lock(block).read_bytes()).hexdigest()
