"""Make the full, hashed lists again from the three blocks of `requirements.txt`.

Needs `uv` on the path. Run it after changing a pin: `python3 config/locks/make.py`.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from config.running.lists import BLOCKS, lock, pins, up_to  # noqa: E402

COMMAND = ["uv", "pip", "compile", "--quiet", "--generate-hashes", "--universal", "--no-header"]
COMMAND += ["--no-annotate", "--no-config", "--python-version", "3.11"]


def make(block: str) -> None:
    """Write the list of one block and those before it, which keeps the versions of the list before."""
    wanted = [pin for part in up_to(block) for pin in pins(part)]
    before = [argument for part in up_to(block)[:-1] for argument in ("--constraint", str(lock(part)))]
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "requirements.in"
        source.write_text("\n".join(wanted) + "\n")
        subprocess.run([*COMMAND, *before, "--output-file", str(lock(block)), str(source)], check=True)


if __name__ == "__main__":
    for block in BLOCKS:
        make(block)
