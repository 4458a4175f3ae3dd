"""The shop's own certificate authority: for private networks only, renewed in time, keys private."""

import ipaddress
import stat
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec

from config.running.certificates import Certificates, load

AT = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
HERE = ["192.168.1.20", "10.0.0.4"]


@pytest.fixture
def certificates(tmp_path):
    made = Certificates(tmp_path / "certificates")
    made.renew(HERE, "bench.local", AT)
    return made


def extension(path, kind):
    return load(path).extensions.get_extension_for_class(kind)


def test_the_authority_may_speak_for_private_networks_and_local_names_only(certificates):
    limits = extension(certificates.authority, x509.NameConstraints)
    networks = [ipaddress.ip_network(text) for text in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16")]
    assert limits.critical
    assert limits.value.permitted_subtrees == [*map(x509.IPAddress, networks), x509.DNSName("local")]


def test_the_authority_can_not_make_another_one(certificates):
    basic = extension(certificates.authority, x509.BasicConstraints)
    assert basic.critical
    assert (basic.value.ca, basic.value.path_length) == (True, 0)


def test_the_server_is_named_by_every_address_it_has(certificates):
    names = extension(certificates.leaf, x509.SubjectAlternativeName).value
    assert [str(found) for found in names.get_values_for_type(x509.IPAddress)] == HERE
    assert names.get_values_for_type(x509.DNSName) == ["bench.local"]


def test_the_server_can_not_sign_certificates(certificates):
    assert not extension(certificates.leaf, x509.BasicConstraints).value.ca
    assert not extension(certificates.leaf, x509.KeyUsage).value.key_cert_sign


def test_the_server_is_signed_by_the_authority(certificates):
    load(certificates.leaf).verify_directly_issued_by(load(certificates.authority))


def test_the_server_hands_out_the_authority_too(certificates):
    chain = x509.load_pem_x509_certificates(certificates.leaf.read_bytes())
    assert chain[1] == load(certificates.authority)


def test_the_server_lasts_no_longer_than_phones_accept(certificates):
    leaf = load(certificates.leaf)
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=397)


def test_a_phone_whose_clock_is_behind_accepts_it(certificates):
    assert load(certificates.leaf).not_valid_before_utc <= AT - timedelta(hours=23)


@pytest.mark.parametrize("name", ["authority", "leaf"])
def test_keys_are_on_the_curve_that_every_phone_knows(certificates, name):
    assert isinstance(load(getattr(certificates, name)).public_key().curve, ec.SECP256R1)


def test_keys_are_private(certificates):
    modes = {stat.S_IMODE(file.stat().st_mode) for file in certificates.folder.iterdir()}
    assert modes == {0o600}
    assert stat.S_IMODE(certificates.folder.stat().st_mode) == 0o700


def test_nothing_is_made_twice(certificates):
    assert certificates.renew(HERE, "bench.local", AT + timedelta(days=300)) == []


@pytest.mark.parametrize(
    ("addresses", "name", "days"),
    [(["192.168.1.21"], "bench.local", 0), (HERE, "saw.local", 0), (HERE, "bench.local", 370)],
    ids=["other address", "other name", "near its end"],
)
def test_the_server_is_renewed_and_phones_keep_their_authority(certificates, addresses, name, days):
    before, authority = load(certificates.leaf), load(certificates.authority)
    deeds = certificates.renew(addresses, name, AT + timedelta(days=days))
    assert len(deeds) == 1
    assert load(certificates.leaf) != before
    assert load(certificates.authority) == authority


def test_an_authority_near_its_end_is_made_anew_with_its_server(certificates):
    deeds = certificates.renew(HERE, "bench.local", AT + timedelta(days=3600))
    assert deeds[0].startswith("A new certificate authority")
    load(certificates.leaf).verify_directly_issued_by(load(certificates.authority))


@pytest.mark.parametrize("name", ["authority_key", "authority", "leaf_key", "leaf"])
def test_a_damaged_file_is_replaced(certificates, name):
    getattr(certificates, name).write_text("damaged")
    assert certificates.renew(HERE, "bench.local", AT)
    assert certificates.renew(HERE, "bench.local", AT) == []


def test_a_lost_key_is_replaced(certificates):
    certificates.leaf_key.unlink()
    assert certificates.renew(HERE, "bench.local", AT)


def test_the_fingerprint_reads_as_on_a_phone(certificates):
    pairs = certificates.fingerprint().split(":")
    assert len(pairs) == 32
    assert all(len(pair) == 2 and pair == pair.upper() for pair in pairs)
