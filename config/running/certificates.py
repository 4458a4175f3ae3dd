"""A certificate authority for one shop, and the certificate of its server.

The authority can speak for private networks and `.local` names only, so that a phone that trusts it
trusts it for nothing else.
"""

import ipaddress
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from config.running.folders import make_private, write_private

AUTHORITY_DAYS = 3650
LEAF_DAYS = 397
"""One less than browsers accept (from memory: CA/Browser Forum, Baseline Requirements 6.3.2)."""
RENEW_DAYS = 30
BACKDATED = timedelta(days=1)
"""Phones whose clock is behind must not refuse a certificate made a moment ago."""


class Certificates:
    """The keys and certificates in one private folder."""

    NETWORKS = tuple(map(ipaddress.IPv4Network, ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16")))

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.authority_key, self.authority = folder / "authority.key", folder / "authority.crt"
        self.leaf_key, self.leaf = folder / "server.key", folder / "server.crt"

    def served(self) -> tuple[Path, Path]:
        """The files for the web server: certificate and key."""
        return self.leaf, self.leaf_key

    def fingerprint(self) -> str:
        """The SHA-256 of the authority's certificate, as phones show it."""
        return load(self.authority).fingerprint(hashes.SHA256()).hex(":").upper()

    def renew(self, addresses: list[str], name: str, at: datetime) -> list[str]:
        """Make what is missing, near its end or for other addresses; answer what was made, in words."""
        make_private(self.folder)
        deeds = []
        if not self.authority_lasts(at):
            self.make_authority(name, at)
            deeds.append("A new certificate authority was made: each phone must install it once.")
        if not self.leaf_fits(addresses, name, at):
            self.make_leaf(addresses, name, at)
            deeds.append(f"A certificate was made for {', '.join([*addresses, name])}.")
        return deeds

    def authority_lasts(self, at: datetime) -> bool:
        """Whether the authority is whole and outlives a certificate made today."""
        try:
            certificate, key = load(self.authority), load_key(self.authority_key)
        except (OSError, ValueError):
            return False
        if certificate.public_key() != key.public_key():
            return False
        return certificate.not_valid_after_utc > at + timedelta(days=LEAF_DAYS)

    def leaf_fits(self, addresses: list[str], name: str, at: datetime) -> bool:
        """Whether the server's certificate is whole, from this authority, for these names, and lasts."""
        try:
            certificate, key = load(self.leaf), load_key(self.leaf_key)
            certificate.verify_directly_issued_by(load(self.authority))
            names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        except (OSError, ValueError, TypeError, x509.ExtensionNotFound, InvalidSignature):
            return False
        if certificate.public_key() != key.public_key() or set(names) != set(other_names(addresses, name)):
            return False
        return certificate.not_valid_after_utc > at + timedelta(days=RENEW_DAYS)

    def make_authority(self, name: str, at: datetime) -> None:
        """Make the shop's own authority."""
        key = new_key()
        limits = [x509.IPAddress(network) for network in self.NETWORKS]
        whole = (
            begin(subject(f"Grainglass, {name}"), key, at, AUTHORITY_DAYS)
            .issuer_name(subject(f"Grainglass, {name}"))
            .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
            .add_extension(usage(authority=True), critical=True)
            .add_extension(x509.NameConstraints([*limits, x509.DNSName("local")], None), critical=True)
            .sign(key, hashes.SHA256())
        )
        write_private(self.authority_key, key_bytes(key))
        write_private(self.authority, pem(whole))

    def make_leaf(self, addresses: list[str], name: str, at: datetime) -> None:
        """Make the server's certificate; the file holds the authority's after it."""
        key, authority_key, authority = new_key(), load_key(self.authority_key), load(self.authority)
        issuer_key = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority_key.public_key())
        whole = (
            begin(subject(name), key, at, LEAF_DAYS)
            .issuer_name(authority.subject)
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(usage(authority=False), critical=True)
            .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .add_extension(x509.SubjectAlternativeName(other_names(addresses, name)), critical=False)
            .add_extension(issuer_key, critical=False)
            .sign(authority_key, hashes.SHA256())
        )
        write_private(self.leaf_key, key_bytes(key))
        write_private(self.leaf, pem(whole) + pem(authority))


def begin(
    name: x509.Name, key: ec.EllipticCurvePrivateKey, at: datetime, days: int
) -> x509.CertificateBuilder:
    """What an authority's and a server's certificate have in common."""
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - BACKDATED)
        .not_valid_after(at - BACKDATED + timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def usage(*, authority: bool) -> x509.KeyUsage:
    """What the key may be used for: to sign certificates, or to speak for a server."""
    return x509.KeyUsage(
        digital_signature=not authority,
        key_cert_sign=authority,
        crl_sign=authority,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def other_names(addresses: list[str], name: str) -> list[x509.GeneralName]:
    """The names that the server's certificate is for."""
    return [*(x509.IPAddress(ipaddress.ip_address(address)) for address in addresses), x509.DNSName(name)]


def subject(name: str) -> x509.Name:
    """A name in a certificate; the standard allows 64 characters."""
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name[:64])])


def new_key() -> ec.EllipticCurvePrivateKey:
    """A key on the curve P-256, which every phone knows."""
    return ec.generate_private_key(ec.SECP256R1())


def load(path: Path) -> x509.Certificate:
    """The first certificate in a file."""
    return x509.load_pem_x509_certificate(path.read_bytes())


def load_key(path: Path) -> ec.EllipticCurvePrivateKey:
    """The private key in a file."""
    key = serialization.load_pem_private_key(path.read_bytes(), password=None)
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise ValueError(f"{path} holds another kind of key")
    return key


def pem(certificate: x509.Certificate) -> bytes:
    """A certificate as text."""
    return certificate.public_bytes(serialization.Encoding.PEM)


def key_bytes(key: ec.EllipticCurvePrivateKey) -> bytes:
    """A private key as text."""
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
