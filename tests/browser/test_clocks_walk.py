"""Clocks with hands on: one that a reading moves, one that rings on another phone, and when to pour."""

import os
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from datetime import timedelta

import pytest
from django.conf import settings
from django.db import connection
from django.utils import timezone

from projects.actions import bench as acts
from projects.models import Timer
from tests.factories import Bench, key
from workshop.acting import Moment
from workshop.changes import hours

PHONE = {"width": 390, "height": 844}
SERVE = """
import os, sys
import django
from django.conf import settings
settings.DATABASES["default"]["NAME"] = os.environ["NAME_OF_DATABASE"]
settings.ALLOWED_HOSTS = ["127.0.0.1"]
django.setup()
from socketserver import ThreadingMixIn
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer
from django.contrib.staticfiles.handlers import StaticFilesHandler
from django.core.wsgi import get_wsgi_application
class Server(ThreadingMixIn, WSGIServer):
    daemon_threads = True
class Quiet(WSGIRequestHandler):
    def log_message(self, *args):
        pass
server = Server(("127.0.0.1", int(sys.argv[1])), Quiet)
server.set_app(StaticFilesHandler(get_wsgi_application()))
server.serve_forever()
"""


@pytest.fixture
def bench(transactional_db):
    """A shop with a pour at the bench, open day and night."""
    from datetime import time as wall

    bench = Bench()
    hours.set_week(bench.member, {day: [(wall(0), wall(0))] for day in range(7)}, at=timezone.now())
    bench.shop.refresh_from_db()
    return bench


def signed_in(context, client, bench, url):
    """A page of a phone that belongs to the member."""
    client.force_login(bench.member.user, backend=settings.AUTHENTICATION_BACKENDS[-1])
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": url}])
    page = context.new_page()
    page.set_viewport_size(PHONE)
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    return page, said


def poured_an_hour_ago(bench):
    at = timezone.now() - timedelta(hours=1)
    acts.parts_meet(
        bench.member, bench.step, key=key(), moment=Moment.now(at), resin=bench.resin,
        cup=bench.cup(60.0, 20.0),
    )  # fmt: skip
    acts.pour(
        bench.member, bench.step, key=key(), moment=Moment.now(at + timedelta(minutes=9)), depth_mm=13.0,
        text="",
    )  # fmt: skip


def test_a_reading_typed_on_the_phone_moves_the_clock_and_leaves_its_trace(
    context, client, bench, live_server
):
    poured_an_hour_ago(bench)
    page, said = signed_in(context, client, bench, live_server.url)
    before = Timer.objects.get(kind="recoat").due_at
    page.goto(f"{live_server.url}/s/{bench.shop.key}/readings/new/?kind=temperature")
    page.fill("input[name=value]", "30")
    page.click(".mainact .btn.main, #main .btn.main")
    page.wait_for_url("**/now/")
    page.goto(f"{live_server.url}/s/{bench.shop.key}/clocks/")
    page.wait_for_selector(".moved:has-text('30\u00a0°C read at')")
    assert Timer.objects.get(kind="recoat").due_at < before
    page.click("text=Next pour on Block A")
    page.wait_for_selector("h2:has-text('Sheet and model')")
    assert page.locator("table.tbl tbody tr").count() == 3
    assert said == []


def test_the_step_leads_to_when_to_pour_and_the_days_follow_the_typing(context, client, bench, live_server):
    page, said = signed_in(context, client, bench, live_server.url)
    page.goto(f"{live_server.url}/s/{bench.shop.key}/bench/{bench.step.key}/")
    page.click("text=When to pour")
    page.wait_for_selector("h1:has-text('When to pour')")
    page.fill("input[name=pours]", "3")
    page.wait_for_selector("#found :text('pour 3')")
    page.fill("input[name=begin]", "16:00")
    page.wait_for_selector("#found :text('Poured at'):text('16:00')")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    page.fill("input[name=pours]", "0")
    page.wait_for_selector("#found :text('Mend the marked figures')")
    assert said == []


def free_port():
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


@contextmanager
def server(port, folder):
    """The app in a process of its own on the database of this test; killed at the end, not asked to stop."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "config.settings_test",
        "TMPDIR": str(folder),
        "NAME_OF_DATABASE": str(connection.settings_dict["NAME"]),
    }
    process = subprocess.Popen(
        [sys.executable, "-c", SERVE, str(port)], cwd=settings.BASE_DIR, env=environment
    )
    try:
        for _ in range(300):
            with socket.socket() as caller:
                if caller.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        yield f"http://127.0.0.1:{port}"
    finally:
        process.kill()
        process.wait()


def test_a_clock_started_on_one_phone_rings_on_another_after_the_server_was_restarted(
    new_context, client, bench, tmp_path
):
    port = free_port()
    with server(port, tmp_path) as url:
        first, _ = signed_in(new_context(), client, bench, url)
        first.goto(f"{url}/s/{bench.shop.key}/clocks/new/")
        first.fill("input[name=name]", "Kettle")
        first.fill("input[name=minutes]", "1")
        first.click("text=Start the clock")
        first.wait_for_url("**/clocks/")
    timer = Timer.objects.get(name="Kettle")
    assert timedelta(0) < timer.due_at - timezone.now() <= timedelta(minutes=1)
    with server(port, tmp_path) as url:
        second, _ = signed_in(new_context(), client, bench, url)
        second.add_init_script(
            "document.addEventListener('grainglass:ring',"
            " () => { document.documentElement.dataset.rang = 'yes'; })"
        )
        second.goto(f"{url}/s/{bench.shop.key}/now/")
        second.click("text=Turn alarms on")
        Timer.objects.filter(pk=timer.pk).update(due_at=timezone.now() + timedelta(seconds=2))
        second.reload()
        second.locator("h1").click()
        second.wait_for_selector("#alarms :text('Kettle: time is up.')", timeout=30_000)
        second.wait_for_selector("html[data-rang=yes]", state="attached", timeout=10_000)
