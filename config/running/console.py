"""What the commands say to the person who typed them."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic


class CannotGoOnError(Exception):
    """A sentence that says what is in the way and what to do about it; shown without a traceback."""


def say(sentence: str = "") -> None:
    """Print one line at once, also where the output is a pipe."""
    try:
        sys.stdout.write(sentence + "\n")
    except UnicodeEncodeError:
        sys.stdout.write(sentence.encode("ascii", "replace").decode() + "\n")
    sys.stdout.flush()


@contextmanager
def timed(deed: str) -> Iterator[None]:
    """Say what is being done, and how long it took once it is done."""
    say(f"{deed} ...")
    began = monotonic()
    yield
    say(f"  done in {monotonic() - began:.0f} s")
