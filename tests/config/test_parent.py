"""A child that ends with its parent, also when the parent was killed."""

import os
import signal
import subprocess
import sys

import pytest

from config.running import parent
from tests.config.running import PROGRAM

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows knows no such signal")

# a parent that begins a child, says its number, and is killed; `how` is how the child finds out
PARENT = """
import os, signal, subprocess, sys
from config.running import parent
child = subprocess.Popen([sys.executable, "-c", sys.argv[1]], env=parent.told(), stdout=subprocess.PIPE)
child.stdout.readline()
print(child.pid, flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""
CHILD = """
import os, signal, time
from config.running import parent
{how}
def stopped(number, frame):
    os.write(2, b"stopped calmly")
    os._exit(0)
signal.signal(signal.SIGTERM, stopped)
parent.end_with_it()
print("ready", flush=True)
time.sleep(60)
"""


def said_by_child(how):
    """What the child says once its parent has been killed."""
    done = subprocess.run(
        [sys.executable, "-c", PARENT, CHILD.format(how=how)], cwd=PROGRAM, capture_output=True, timeout=50
    )
    assert done.returncode == -signal.SIGKILL
    return done.stderr.decode()


@pytest.mark.skipif(sys.platform != "linux", reason="the kernel of Linux sends it")
def test_the_kernel_tells_the_child():
    assert said_by_child("parent.look = None") == "stopped calmly"


def test_where_no_kernel_tells_it_the_child_looks_itself():
    assert said_by_child("parent.ask_the_kernel = lambda: False") == "stopped calmly"


@pytest.mark.parametrize("said", ["", "nobody", "-1"])
def test_without_a_parent_that_said_so_nothing_is_asked(monkeypatch, said):
    monkeypatch.setenv(parent.PARENT, said)
    monkeypatch.setattr(parent, "ask_the_kernel", lambda: pytest.fail("asked"))
    parent.end_with_it()


def test_a_parent_that_was_gone_before_is_noticed_at_once(monkeypatch):
    sent = []
    monkeypatch.setenv(parent.PARENT, "1" if os.getppid() != 1 else "2")
    monkeypatch.setattr(parent, "ask_the_kernel", lambda: True)
    monkeypatch.setattr(parent.sys, "platform", "linux")
    monkeypatch.setattr(parent.os, "kill", lambda pid, number: sent.append((pid, number)))
    parent.end_with_it()
    assert sent == [(os.getpid(), signal.SIGTERM)]
