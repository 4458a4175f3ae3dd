"""The command `start`: make all ready, serve, say where, and stop cleanly."""

import argparse
import errno
import multiprocessing
import os
import signal
import socket
import subprocess
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from types import FrameType

from config.running import parent
from config.running.console import CannotGoOnError, say
from config.running.folders import PROGRAM, data_folder, make_private
from config.running.prepare import Prepared, in_order
from config.running.worker import Worker

LISTENS_WITHIN_S = 60
LOOKS_EVERY_S = 0.5
THREADS = 4


@dataclass(frozen=True)
class Place:
    """Where the shop is served, and with which certificate if over https."""

    host: str
    port: int
    addresses: tuple[str, ...]
    certificate: str = ""
    key: str = ""


def parser() -> argparse.ArgumentParser:
    """The options of `start`."""
    options = argparse.ArgumentParser(prog="manage.py start", description="Serve the shop.")
    options.add_argument("--port", type=port, help="8000, or 8443 with --lan")
    options.add_argument("--lan", action="store_true", help="serve the phones in the shop too, over https")
    options.add_argument("--certificate-port", type=port, default=8080, help="with --lan; 8080")
    options.add_argument("--workers", type=workers, default=os.environ.get("WEB_CONCURRENCY", "2"))
    options.add_argument("--empty", action="store_true", help="leave the demo shop out on the first start")
    options.add_argument("--yes", action="store_true", help="install system packages without asking")
    return options


def workers(text: str) -> int:
    """How many processes answer."""
    number = int(text) if text.isdecimal() else 0
    if not 1 <= number <= 64:
        raise argparse.ArgumentTypeError(f"{text} is not a number of workers; take one from 1 to 64")
    return number


def port(text: str) -> int:
    """A port number that a program may listen on."""
    number = int(text) if text.isdecimal() else 0
    if not 1 <= number <= 65535:
        raise argparse.ArgumentTypeError(f"{text} is not a port; take a number from 1024 to 65535")
    return number


def must_be_free(host: str, number: int, option: str) -> None:
    """Stop with a sentence if the port can't be had."""
    with socket.socket() as trial:
        if os.name != "nt":
            # as the server does: a port that was used a moment ago is free
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, number))
        except OSError as error:
            taken = error.errno in (errno.EADDRINUSE, getattr(errno, "WSAEADDRINUSE", errno.EADDRINUSE))
            why = (
                "is taken: the shop may be running already" if taken else f"can't be used ({error.strerror})"
            )
            way_on = (
                "Stop it where it was started (Ctrl-C; if that window is gone, end the process that holds "
                "the port). Another port is for another data folder"
                if taken
                else "Choose another"
            )
            raise CannotGoOnError(
                f"Port {number} {why}. {way_on}: python3 manage.py start {option} {number + 1000}"
            ) from error


def server_command(place: Place, workers: int) -> list[str]:
    """The command of the web server for this system."""
    if os.name == "nt":
        listen = f"--listen={place.host}:{place.port}"
        return [
            sys.executable,
            "-m",
            "waitress",
            listen,
            f"--threads={2 * THREADS}",
            "config.wsgi:application",
        ]
    command = [sys.executable, "-m", "gunicorn", "config.wsgi:application", "--no-control-socket"]
    command += ["--bind", f"{place.host}:{place.port}", "--worker-class", "gthread", "--log-level", "warning"]
    command += ["--workers", str(workers), "--threads", str(THREADS), "--timeout", "60"]
    command += ["--graceful-timeout", "20", "--umask", "0o077", "--config", "python:config.running.web"]
    if place.certificate:
        command += ["--certfile", place.certificate, "--keyfile", place.key]
    return command


class Server:
    """The web server as a child, in a group of its own so that Ctrl-C reaches it as a calm stop."""

    def __init__(self, command: list[str], worker: Worker | None = None) -> None:
        self.asked_to_stop = 0
        self.worker = worker
        self.process = subprocess.Popen(command, env=parent.told(), start_new_session=os.name != "nt")
        for name in ("SIGINT", "SIGTERM", "SIGHUP"):
            if hasattr(signal, name):
                signal.signal(getattr(signal, name), self.stop)

    def stop(self, number: int, frame: FrameType | None) -> None:
        """Let it finish what it is answering; at the second time of asking, don't."""
        self.asked_to_stop += 1
        if self.asked_to_stop == 1 or os.name == "nt":
            self.process.terminate()
            if self.worker:
                self.worker.ask_to_stop()
        else:
            os.killpg(self.process.pid, signal.SIGKILL)
            if self.worker:
                self.worker.kill()

    def listens(self, place: Place) -> bool:
        """Wait until it answers at its port; no when it ends before."""
        until = time.monotonic() + LISTENS_WITHIN_S
        while time.monotonic() < until and self.process.poll() is None:
            try:
                socket.create_connection(("127.0.0.1", place.port), timeout=1).close()
            except OSError:
                time.sleep(0.1)
            else:
                return True
        return False

    def wait(self) -> int:
        """Wait for its end, looking after the worker meanwhile, and answer the exit code of the command."""
        try:
            code = self.ended()
        finally:
            if self.worker:
                self.worker.end()
        if self.asked_to_stop:
            say("Stopped.")
            return 0
        raise CannotGoOnError(f"The server ended by itself (code {code}); the lines above say why.")

    def ended(self) -> int:
        """Wait for the web server's end and answer its code."""
        while True:
            try:
                return self.process.wait(LOOKS_EVERY_S)
            except subprocess.TimeoutExpired:
                if self.worker:
                    self.worker.tend()


def welcome(place: Place, prepared: Prepared) -> None:
    """Say where the shop is and how to get in."""
    say()
    say("Grainglass is served at " + "  or  ".join(place.addresses))
    if not prepared.nobody_yet:
        say("Open it and sign in.")
    elif prepared.setup_code:
        half = len(prepared.setup_code) // 2
        say(f"First start: open it, type the code {prepared.setup_code[:half]} {prepared.setup_code[half:]}")
        say("and name your shop. The code works once.")
    elif prepared.demo:
        say("First start: open it and look around the demo, or name your own shop.")
    else:
        say("First start: open it and name your shop.")
    say(f"The shop's data lie in {data_folder()}. Ctrl-C stops.")


def prepare_apart(demo: bool) -> Prepared:
    """Prepare in a process of its own, so that serving does not carry Django twice."""
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as apart:
        return apart.submit(in_order, demo).result()


def start(arguments: list[str]) -> int:
    """Serve until told to stop."""
    options = parser().parse_args(arguments)
    parent.end_with_it()
    make_private(data_folder())
    os.chdir(PROGRAM)
    if options.lan:
        from config.lan import start_in_the_shop

        return start_in_the_shop(options)
    number = options.port or 8000
    place = Place("127.0.0.1", number, (f"http://127.0.0.1:{number}/",))
    must_be_free(place.host, number, "--port")
    return serve(place, options.workers, demo=not options.empty)


def serve(place: Place, workers: int, demo: bool) -> int:
    """Prepare, run the server and say where it is."""
    prepared = prepare_apart(demo)
    server = Server(server_command(place, workers), Worker())
    if server.listens(place):
        welcome(place, prepared)
    return server.wait()
