"""Pages for trying scripts alone: the real frame, assets and policy, and answers that a test sets."""

import json
import threading
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import SimpleNamespace
from urllib.parse import parse_qs, urlsplit

from django.conf import settings
from django.contrib.staticfiles import finders
from django.template import engines
from django.utils import timezone

KINDS = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".woff2": "font/woff2"}
SEE_OTHER = 303
FRAME = '{% extends "base.html" %}{% block main %}MAIN{% endblock %}'
GONE = "gone"
"""An answer that never comes: the connection is cut."""


@dataclass
class Site:
    """What the small server says: `answers` maps a path to a function of the request; `sent` came in."""

    origin: str = ""
    answers: dict = field(default_factory=dict)
    sent: list = field(default_factory=list)
    user: int = 7

    def page(self, path, main, now=None):
        """Put a page of the app's frame around `main` at a path."""
        self.answers["GET " + path] = lambda request: (200, self.frame(main, now or timezone.now()), {})

    def frame(self, main, now):
        """A whole page."""
        template = engines["django"].from_string(FRAME.replace("MAIN", main))
        context = {"user": SimpleNamespace(pk=self.user), "server_now": now, "rooms": []}
        return template.render(context)

    def answer(self, path, status=200, body="", wait=None, **headers):
        """What a POST to a path gets; `wait` is an event that holds the answer back."""

        def reply(request):
            if wait is not None:
                wait.wait(10)
            return status, body, {name.replace("_", "-"): text for name, text in headers.items()}

        self.answers["POST " + path] = reply

    def cut(self, path):
        """A POST to a path is heard and never answered."""
        self.answers["POST " + path] = lambda request: GONE

    def posted(self, path):
        """The forms that came to a path, as dictionaries of single values."""
        return [
            request["form"]
            for request in self.sent
            if request["path"] == path and request["form"] is not None
        ]


def policy():
    """The app's own content policy as a header."""
    directives = settings.CONTENT_SECURITY_POLICY["DIRECTIVES"]
    return "; ".join(f"{name} {' '.join(sources)}" for name, sources in directives.items())


def handler_for(site):
    """The handler class of one site."""

    class Handler(BaseHTTPRequestHandler):
        """Static files, pages and answers."""

        def log_message(self, *args):
            """Quiet."""

        def do_GET(self):
            self.reply("GET", None)

        def do_POST(self):
            length = int(self.headers.get("Content-Length", 0))
            body = self.rfile.read(length).decode("utf-8", "replace")
            self.reply("POST", {name: values[0] for name, values in parse_qs(body, True).items()})

        def reply(self, method, form):
            path = urlsplit(self.path).path
            site.sent.append({"method": method, "path": path, "form": form, "headers": dict(self.headers)})
            if path.startswith("/static/"):
                self.asset(path.removeprefix("/static/"))
                return
            found = site.answers.get(f"{method} {path}", lambda request: (404, "not here", {}))(self)
            if found == GONE:
                self.close_connection = True
                return
            self.write(*found)

        def asset(self, name):
            file = finders.find(name)
            if file is None:
                self.write(404, "", {})
                return
            kind = KINDS.get("." + name.rsplit(".", 1)[-1], "application/octet-stream")
            with open(file, "rb") as content:
                self.write(200, content.read(), {"Content-Type": kind})

        def write(self, status, body, headers):
            content = body if isinstance(body, bytes) else body.encode()
            self.send_response(status)
            for name, text in {"Content-Type": "text/html; charset=utf-8", **headers}.items():
                self.send_header(name, text)
            self.send_header("Content-Security-Policy", policy())
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

    return Handler


def serve():
    """A site that listens, and how to stop it."""
    site = Site()
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler_for(site))
    server.daemon_threads = True
    site.origin = f"http://127.0.0.1:{server.server_port}"
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True).start()

    def stop():
        server.shutdown()
        server.server_close()

    return site, stop


def kept(page, prefix):
    """What the browser keeps under keys with a prefix."""
    script = (
        "prefix => Object.fromEntries(Object.entries(localStorage).filter(([key]) => key.startsWith(prefix)))"
    )
    return {key: json.loads(text) for key, text in page.evaluate(script, prefix).items()}


def until(page, script, seconds=8):
    """Wait until a script is true. The browser's own waiting is forbidden to pages with our policy."""
    for _ in range(round(seconds / 0.05)):
        if page.evaluate(script):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never came true: {script}")
