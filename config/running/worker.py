"""The worker for long jobs: a child of `start` beside the web server, begun anew when it dies."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable

from config.running.console import say
from config.running.parent import told

COMMAND = [sys.executable, "manage.py", "worker"]
CALM_S = 20
"""How long it may finish the job that it is at."""
SHORTEST_S, LONGEST_S = 1, 60
LIVED_WELL_S = 60


class Worker:
    """The child; `tend` is called again and again while the shop is served."""

    def __init__(self, command: list[str] | None = None, clock: Callable[[], float] = time.monotonic) -> None:
        self.command, self.clock = command or COMMAND, clock
        self.wait_s = SHORTEST_S
        self.process: subprocess.Popen[bytes] | None = None
        self.begun = self.next_try = clock()
        self.stopping = False
        self.begin()

    def begin(self) -> None:
        """Start it, in a group of its own so that Ctrl-C reaches it as a calm stop."""
        self.begun = self.clock()
        posix = os.name != "nt"
        self.process = subprocess.Popen(
            self.command, env=told(), start_new_session=posix, umask=0o077 if posix else -1
        )

    def tend(self) -> None:
        """Begin it anew if it ended by itself: soon at first, more slowly if it keeps ending."""
        if self.stopping:
            return
        if self.process is not None and self.process.poll() is not None:
            self.note_its_end(self.process.returncode)
        if self.process is None and self.clock() >= self.next_try:
            self.begin()

    def note_its_end(self, code: int) -> None:
        """Say that it ended and when it is begun anew."""
        if self.clock() - self.begun > LIVED_WELL_S:
            self.wait_s = SHORTEST_S
        say(
            f"The worker for long jobs ended by itself (code {code}); it is started again in {self.wait_s} s."
        )
        say("What it was at can be started again on its page.")
        self.process, self.next_try = None, self.clock() + self.wait_s
        self.wait_s = min(2 * self.wait_s, LONGEST_S)

    def ask_to_stop(self) -> None:
        """Let it finish the job that it is at; safe inside a signal's handler."""
        self.stopping = True
        if self.process is not None and self.process.poll() is None:
            self.process.terminate()

    def kill(self) -> None:
        """End it at once, and what it may have begun."""
        self.stopping = True
        if self.process is None or self.process.poll() is not None:
            return
        if os.name == "nt":
            self.process.kill()
        else:
            os.killpg(self.process.pid, signal.SIGKILL)

    def end(self) -> None:
        """Ask it to stop and wait; a job that takes too long is ended, and its page says so."""
        self.ask_to_stop()
        if self.process is None:
            return
        try:
            self.process.wait(CALM_S)
        except subprocess.TimeoutExpired:
            say("A long job was still running; it is interrupted. It can be started again on its page.")
            self.kill()
            self.process.wait()
