"""A child that ends with its parent, also when the parent was killed and could tell nobody.

On Linux the kernel sends the signal. Elsewhere a thread looks whose child this is; that has not been tried.
"""

import ctypes
import os
import signal
import sys
import threading
import time

PARENT = "STARTED_BY_PROCESS"
"""The setting by which a parent tells its child to end with it."""
DEATH_SIGNAL = 1
"""PR_SET_PDEATHSIG, prctl(2) of Linux."""
LOOKS_EVERY_S = 1.0


def told() -> dict[str, str]:
    """The environment for a child that is to end with this process."""
    return {**os.environ, PARENT: str(os.getpid())}


def on_its_own() -> dict[str, str]:
    """The environment for a child to which nobody's end matters, such as a run of the tests."""
    return {name: value for name, value in os.environ.items() if name != PARENT}


def end_with_it() -> None:
    """From now on this process is asked to stop once its parent is gone; nothing where no parent said so."""
    said = os.environ.get(PARENT, "")
    if os.name == "nt" or not said.isdecimal():
        return
    parent = int(said)
    if not (sys.platform == "linux" and ask_the_kernel()):
        threading.Thread(target=look, args=(parent,), daemon=True).start()
    elif is_gone(parent):  # it ended before the kernel was asked
        stop()


def ask_the_kernel() -> bool:
    """Have the kernel send SIGTERM when the parent ends; no where it can't."""
    try:
        return ctypes.CDLL(None, use_errno=True).prctl(DEATH_SIGNAL, signal.SIGTERM, 0, 0, 0) == 0
    except (OSError, AttributeError):
        return False


def is_gone(parent: int) -> bool:
    """Whether this is another's child by now."""
    return os.getppid() != parent


def look(parent: int) -> None:
    """Look again and again whether the parent is there, and stop when it is not."""
    while not is_gone(parent):
        time.sleep(LOOKS_EVERY_S)
    stop()


def stop() -> None:
    """As if somebody had asked this process to stop: what is being done is finished."""
    os.kill(os.getpid(), signal.SIGTERM)
