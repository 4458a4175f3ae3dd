"""The one-time code that the first person types, so that a stranger can't found the shop first.

It lies in the data folder until it is spent; whoever can read the console or that folder has it.
"""

import os
import secrets
from contextlib import suppress
from pathlib import Path

from django.conf import settings

LETTERS = "ACDEFGHJKMNPQRTUVWXY346789"
"""No letter or digit that is taken for another: no 0 and O, 1, I and L, 2 and Z, 5 and S, B beside 8."""
LENGTH = 8
OWN_MACHINE = {"localhost", "127.0.0.1", "[::1]"}
"""How a machine calls itself: an address that begins so leads nowhere from another."""


def kept_code() -> Path:
    """The file that holds the code."""
    return Path(settings.DATA_DIR) / "setup-code"


def is_asked() -> bool:
    """Whether others than this machine can reach the shop, so that founding it wants the code."""
    return settings.PRODUCTION or settings.BEHIND_PROXY or not set(settings.ALLOWED_HOSTS) <= OWN_MACHINE


def current_code() -> str:
    """The code of this installation, made when there is none."""
    file = kept_code()
    if not file.exists():
        code = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
        half = file.with_name(f".setup-code.{secrets.token_hex(4)}")
        with os.fdopen(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as new:
            new.write(code)
        # a link is whole or not at all, and the first of two makers wins
        with suppress(FileExistsError):
            os.link(half, file)
        half.unlink()
    return file.read_text().strip()


def is_right(typed: str) -> bool:
    """Whether the code was typed, in capitals or not, with or without blanks and hyphens."""
    plain = "".join(typed.upper().replace("-", "").split())
    file = kept_code()
    code = file.read_text().strip() if file.exists() else ""
    return bool(code) and secrets.compare_digest(plain.encode(), code.encode())


def spend_code() -> None:
    """Let the code be good for nothing from now on."""
    kept_code().unlink(missing_ok=True)
