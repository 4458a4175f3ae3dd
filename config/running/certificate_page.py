"""A plain page that hands the shop's certificate authority to its phones, and nothing else."""

import html
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from string import Template
from types import TracebackType

from cryptography.hazmat.primitives.serialization import Encoding

from config.running.certificates import Certificates, load

HERE = Path(__file__).resolve().parent
CERTIFICATE = "/grainglass-authority.crt"


def contents(certificates: Certificates, home: str) -> dict[str, tuple[str, bytes]]:
    """Everything that the page can answer: path to media type and bytes."""
    page = Template((HERE / "certificate_page.html").read_text()).substitute(
        certificate=CERTIFICATE, fingerprint=html.escape(certificates.fingerprint()), home=html.escape(home)
    )
    return {
        "/": ("text/html; charset=utf-8", page.encode()),
        "/page.css": ("text/css; charset=utf-8", (HERE / "certificate_page.css").read_bytes()),
        CERTIFICATE: ("application/x-x509-ca-cert", load(certificates.authority).public_bytes(Encoding.DER)),
    }


class Handler(BaseHTTPRequestHandler):
    """Answers from a fixed table; whatever else is asked for is not there."""

    answers: dict[str, tuple[str, bytes]] = {}
    timeout = 10
    server_version, sys_version = "Grainglass", ""

    def do_GET(self) -> None:  # noqa: N802 the standard library's name
        """Answer a page."""
        kind, body = self.answers.get(self.path.split("?")[0], ("", b""))
        if not kind:
            self.send_error(404)
            return
        self.send_response(200)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Content-Security-Policy", "default-src 'none'; style-src 'self'")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 the standard library's name
        """Say nothing: the console is for the person who started the shop."""


class CertificatePage:
    """The page while the block runs."""

    def __init__(self, certificates: Certificates, port: int, home: str, host: str = "0.0.0.0") -> None:  # noqa: S104
        answers = contents(certificates, home)
        handler = type("AnsweringHandler", (Handler,), {"answers": answers})
        self.server = ThreadingHTTPServer((host, port), handler)
        self.server.daemon_threads = True

    def __enter__(self) -> "CertificatePage":
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.server.shutdown()
        self.server.server_close()
