"""Clocks outlive the process that started them: what counts is an instant in the database."""

import json
import os
import signal
import subprocess
import sys
from datetime import datetime, timedelta

import pytest
from django.conf import settings
from django.db import connection

from projects.models import Timer
from tests.factories import AT, Bench

pytestmark = pytest.mark.django_db(transaction=True)

SET_UP = """
import json, os, signal, sys
import django
from django.conf import settings
settings.DATABASES["default"]["NAME"] = os.environ["NAME_OF_DATABASE"]
django.setup()
"""
READ = """
from projects.models import Timer
timer = Timer.objects.get(pk=int(sys.argv[1]))
print(json.dumps({name: getattr(timer, name).isoformat() for name in ("started_at", "early_at", "due_at")}))
"""
MIX_AND_DIE = """
from datetime import datetime
from materials.models import Lot
from projects.actions import bench
from projects.models import Step
from tests.factories import key
from workshop.acting import Moment
from workshop.models import Member
step = Step.objects.get(pk=int(sys.argv[1]))
member = Member.objects.of(step.shop).get()
lots = {lot.part: lot for lot in Lot.objects.of(step.shop)}
cup = {"a_g": 314.5, "wanted_a_g": 313.5, "lot_a": lots["A"], "lot_b": lots["B"]}
cup |= {"room_c": 20.0, "humidity_percent": None}
at = Moment.now(datetime.fromisoformat(sys.argv[2]))
bench.parts_meet(member, step, key=key(), moment=at, resin=step.block.resin, cup=cup)
os.kill(os.getpid(), signal.SIGKILL)
"""


def fresh_process(script, folder, *arguments):
    """Run a script in a process of its own on the database of this test; `folder` is its own."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "config.settings_test",
        "TMPDIR": str(folder),
        "NAME_OF_DATABASE": str(connection.settings_dict["NAME"]),
    }
    return subprocess.run(
        [sys.executable, "-c", SET_UP + script, *map(str, arguments)],
        cwd=settings.BASE_DIR, env=environment, capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip


def test_a_fresh_process_reads_the_same_due_time(tmp_path):
    timer = Bench().meet(a_g=68).timers.get()  # a light cup rings before it is due
    done = fresh_process(READ, tmp_path, timer.pk)
    assert done.returncode == 0, done.stderr
    found = {name: datetime.fromisoformat(text) for name, text in json.loads(done.stdout).items()}
    assert found == {"started_at": timer.started_at, "early_at": timer.early_at, "due_at": timer.due_at}


def test_a_clock_survives_the_server_that_was_killed_right_after_it_began(tmp_path):
    bench = Bench()
    done = fresh_process(MIX_AND_DIE, tmp_path, bench.step.pk, AT.isoformat())
    assert done.returncode == -signal.SIGKILL, done.stderr
    timer = Timer.objects.get()
    assert timer.started_at == AT
    assert timer.due_at == AT + timedelta(seconds=3818)  # half of 90 * 2^0.5 min: a heavy cup
    assert timer in Timer.objects.running()
