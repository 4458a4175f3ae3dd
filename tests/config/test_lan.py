"""What https in the shop needs: addresses, exact hosts, and a refusal where it makes no sense."""

import pytest

from config import lan
from config.running.console import CannotGoOnError


def test_only_addresses_of_a_local_network_are_served():
    found = lan.private_only(
        ["127.0.0.1", "10.1.2.3", "172.32.0.1", "172.31.0.1", "169.254.3.4", "198.51.100.7"]
    )
    assert found == ["10.1.2.3", "172.31.0.1"]


def test_the_address_on_the_way_out_comes_first(monkeypatch):
    monkeypatch.setattr(lan, "way_to", lambda probe: ["192.168.1.20"])
    monkeypatch.setattr(lan, "of_interfaces", lambda: ["127.0.0.1", "172.17.0.1", "192.168.1.20"])
    assert lan.own_addresses() == ["192.168.1.20", "172.17.0.1"]


@pytest.mark.skipif(not lan.sys.platform.startswith("linux"), reason="only Linux tells")
def test_every_machine_has_its_own_inner_address():
    assert "127.0.0.1" in lan.of_interfaces()


def test_hosts_and_origins_are_exact(monkeypatch):
    monkeypatch.delenv("GRAINGLASS_HOSTS", raising=False)
    assert lan.in_environment(["192.168.1.20", "bench.local"], 8443) == {
        "GRAINGLASS_HOSTS": "192.168.1.20,bench.local",
        "GRAINGLASS_TRUSTED_ORIGINS": "https://192.168.1.20:8443,https://bench.local:8443",
        "GRAINGLASS_HTTPS": "1",
    }


def test_hosts_that_the_shop_named_itself_stay(monkeypatch):
    monkeypatch.setenv("GRAINGLASS_HOSTS", "panels.local")
    assert lan.in_environment(["192.168.1.20"], 8443)["GRAINGLASS_HOSTS"] == "192.168.1.20,panels.local"


def test_the_open_network_and_the_shop_do_not_go_together(monkeypatch):
    monkeypatch.setenv("GRAINGLASS_PRODUCTION", "true")
    with pytest.raises(CannotGoOnError, match="use one of them"):
        lan.refuse_what_cannot_be()


def test_the_name_in_the_network_is_the_first_word_of_the_machines(monkeypatch):
    monkeypatch.setattr(lan.socket, "gethostname", lambda: "Bench.example.org")
    assert lan.local_name() == "bench.local"


def test_the_code_for_the_phone_fits_a_terminal():
    lines = lan.qr("http://192.168.1.20:8080/").splitlines()
    assert 10 < len(lines) < 24
