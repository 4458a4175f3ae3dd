"""The plain page that hands the authority's certificate to phones."""

import urllib.error
import urllib.request
from datetime import UTC, datetime

import pytest
from cryptography import x509

from config.running.certificate_page import CertificatePage
from config.running.certificates import Certificates, load


@pytest.fixture
def certificates(tmp_path):
    made = Certificates(tmp_path / "certificates")
    made.renew(["192.168.1.20"], "bench.local", datetime(2026, 3, 1, tzinfo=UTC))
    return made


@pytest.fixture
def address(certificates):
    with CertificatePage(certificates, 0, "https://192.168.1.20:8443/", host="127.0.0.1") as page:
        yield f"http://127.0.0.1:{page.server.server_port}"


def fetch(address):
    with urllib.request.urlopen(address, timeout=5) as answer:  # noqa: S310 our own page
        return answer.headers, answer.read()


def test_the_page_shows_the_fingerprint_and_the_way_on(address, certificates):
    page = fetch(f"{address}/")[1].decode()
    assert certificates.fingerprint() in page
    assert 'href="https://192.168.1.20:8443/"' in page


def test_the_page_tells_both_kinds_of_phone_what_to_do(address):
    page = fetch(f"{address}/")[1].decode()
    assert "Android" in page
    assert "iPhone" in page


def test_the_certificate_is_the_authority_and_no_key(address, certificates):
    headers, body = fetch(f"{address}/grainglass-authority.crt")
    assert headers["Content-Type"] == "application/x-x509-ca-cert"
    assert x509.load_der_x509_certificate(body) == load(certificates.authority)
    assert b"PRIVATE" not in body


def test_the_page_loads_nothing_from_elsewhere(address):
    assert fetch(f"{address}/")[0]["Content-Security-Policy"] == "default-src 'none'; style-src 'self'"


@pytest.mark.parametrize("path", ["/authority.key", "/../authority.key", "/var/secret", "/s/"])
def test_nothing_else_is_there(address, path):
    with pytest.raises(urllib.error.HTTPError, match="404"):
        fetch(address + path)
