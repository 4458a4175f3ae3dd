"""Set-up before every command: standard library only, since it runs before anything is installed."""

import os
import signal
import subprocess
import sys
from types import FrameType

from config.running import packages
from config.running.console import CannotGoOnError, say
from config.running.environment import Environment, inside
from config.running.folders import PROGRAM, data_folder
from config.running.locks import alone
from config.running.machine import Machine
from config.running.parent import told

SET_UP = ("start", "test", "prepare")
HELP = """Grainglass: the first two commands do everything.

  python3 manage.py start [--port 8000] [--lan] [--empty] [--yes]
      Set up what is missing, then serve the shop on this machine.
      --port    on another port than 8000
      --lan     also to the phones in the shop, over https
      --empty   leave the demo shop out on the first start
      --yes     install system packages without asking

  python3 manage.py test [--yes] [--oracles] [--postgres] [arguments for pytest]
      Set up the same and a browser, then run every check and test.
      --oracles    compare with reference libraries too; a skipped comparison fails
      --postgres   run the tests again on a private PostgreSQL

  python3 manage.py prepare
      Only make all ready, where another web server than ours is to serve.

All other words are Django's: python3 manage.py help
"""


def block_for(words: list[str]) -> str:
    """The block of packages that a command needs."""
    if words[0] != "test":
        return "run"
    return "oracles" if "--oracles" in words else "test"


def prepare(words: list[str]) -> Environment:
    """Have system packages and the private environment as the command needs them; nothing is done twice."""
    test, environment, block, machine = words[0] == "test", Environment(), block_for(words), Machine.here()

    def missing() -> list[str]:
        new, postgres = not environment.identity(), test and "--postgres" in words
        return machine.missing(new=new, test=test, postgres=postgres)

    if environment.holds(block) and not missing():
        return environment
    with alone(PROGRAM / ".setup.lock", "Another start is setting up; waiting for it."):
        packages.ensure(machine, missing, yes="--yes" in words)
        if not environment.holds(block):
            environment.install(block)
    return environment


def run_inside(environment: Environment, words: list[str]) -> int:
    """Run the command again with the private Python; signals reach it, its exit code is ours."""
    done = {"GRAINGLASS_SKIP_SETUP": "1", "GRAINGLASS_DATA": str(data_folder())}
    child = subprocess.Popen([environment.python, PROGRAM / "manage.py", *words], env={**told(), **done})

    def pass_on(number: int, frame: FrameType | None) -> None:
        child.send_signal(number)

    signal.signal(signal.SIGTERM, pass_on)
    # a terminal sends Ctrl-C to the child as well; the parent only waits for it
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, pass_on)
    code = child.wait()
    return 128 - code if code < 0 else code


def run_here(words: list[str]) -> int:
    """Run the command in this process, everything being there."""
    if words[0] == "start":
        from config.serve import start

        return start(words[1:])
    if words[0] == "test":
        from config.running.suite import test

        return test(words[1:])
    if words[0] == "prepare":
        from config.running.prepare import prepare as prepare_data

        return prepare_data()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(["manage.py", *words])
    return 0


def choose(words: list[str]) -> int:
    """Set up, move inside and run, as far as each is called for."""
    if not words or words[0] in ("-h", "--help"):
        say(HELP)
        return 0
    if words[0] == "start" and {"-h", "--help"} & set(words):
        from config.serve import parser

        say(parser().format_help())
        return 0
    if os.environ.get("GRAINGLASS_SKIP_SETUP") == "1":
        return run_here(words)
    if words[0] in SET_UP:
        return run_inside(prepare(words), words)
    if inside():
        return run_here(words)
    if Environment().identity():
        return run_inside(Environment(), words)
    raise CannotGoOnError("Nothing is set up yet. Type: python3 manage.py start")


def run(words: list[str]) -> int:
    """Run a command and answer its exit code; what is in the way is said in a sentence."""
    try:
        return choose(words)
    except CannotGoOnError as problem:
        sys.stderr.write(f"{problem}\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
        return 130
