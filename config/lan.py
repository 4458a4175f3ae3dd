"""`start --lan`: the shop served to its phones over https, with a certificate authority of its own."""

import argparse
import ipaddress
import os
import socket
from contextlib import suppress
from datetime import UTC, datetime

from config.running.certificate_page import CertificatePage
from config.running.certificates import Certificates
from config.running.console import CannotGoOnError, say
from config.running.folders import data_folder
from config.serve import Place, must_be_free, serve

PROBES = ("192.168.255.254", "10.255.255.254", "172.31.255.254")
"""Addresses in the private ranges: asking how one would get there tells our own address; nothing is sent."""


def own_addresses() -> list[str]:
    """The private addresses that this machine has in its local networks."""
    found: set[str] = set()
    for probe in PROBES:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
            try:
                way.connect((probe, 9))
                found.add(way.getsockname()[0])
            except OSError:
                continue
    with suppress(OSError):
        found.update(socket.gethostbyname_ex(socket.gethostname())[2])
    return private_only(found)


def private_only(addresses: set[str]) -> list[str]:
    """Those that lie in a local network and not in this machine alone, in order.

    >>> private_only({"127.0.0.1", "192.0.2.7", "192.168.1.20", "8.8.8.8"})
    ['192.168.1.20']
    """
    known = [ipaddress.IPv4Address(address) for address in addresses]
    return [str(address) for address in sorted(known) if any(address in net for net in Certificates.NETWORKS)]


def local_name() -> str:
    """The name under which machines in a local network that speak multicast DNS find this one."""
    plain = socket.gethostname().split(".")[0].lower()
    return f"{plain}.local"


def in_environment(hosts: list[str], number: int) -> dict[str, str]:
    """The settings that https in the shop needs: exact hosts and origins, secure cookies."""
    kept = [host for host in os.environ.get("GRAINGLASS_HOSTS", "").split(",") if host]
    hosts = list(dict.fromkeys([*hosts, *kept]))
    return {
        "GRAINGLASS_HOSTS": ",".join(hosts),
        "GRAINGLASS_TRUSTED_ORIGINS": ",".join(f"https://{host}:{number}" for host in hosts),
        "GRAINGLASS_HTTPS": "1",
    }


def refuse_what_cannot_be() -> None:
    """Stop where https in the shop makes no sense."""
    if os.name == "nt":
        raise CannotGoOnError(
            "--lan does not work on Windows: serve from a Linux machine, or put a proxy before it."
        )
    if os.environ.get("GRAINGLASS_PRODUCTION", "").lower() in ("1", "true", "yes", "on"):
        raise CannotGoOnError(
            "--lan is for the shop's own network and GRAINGLASS_PRODUCTION for the open one: use one of them."
        )


def qr(text: str) -> str:
    """A square code for a terminal."""
    import io

    import segno

    drawn = io.StringIO()
    segno.make(text, micro=False).terminal(out=drawn, compact=True, border=2)
    return drawn.getvalue()


def start_in_the_shop(options: argparse.Namespace) -> int:
    """Serve the shop over https, and beside it the page that hands out the authority's certificate."""
    refuse_what_cannot_be()
    number = options.port or 8443
    must_be_free("0.0.0.0", number, "--lan --port")  # noqa: S104 the phones must reach it
    must_be_free("0.0.0.0", options.certificate_port, "--lan --certificate-port")  # noqa: S104
    addresses = own_addresses()
    if not addresses:
        raise CannotGoOnError(
            "This machine is in no local network: join the shop's network, then start again."
        )
    os.environ.update(in_environment([*addresses, local_name()], number))
    certificates = Certificates(data_folder() / "certificates")
    for deed in certificates.renew(addresses, local_name(), datetime.now(UTC)):
        say(deed)
    homes = tuple(f"https://{host}:{number}/" for host in addresses)
    place = Place("0.0.0.0", number, homes, *map(str, certificates.served()))  # noqa: S104
    with CertificatePage(certificates, options.certificate_port, homes[0]):
        show_the_way(f"http://{addresses[0]}:{options.certificate_port}/", certificates.fingerprint())
        return serve(place, options.workers)


def show_the_way(page: str, fingerprint: str) -> None:
    """Say how a phone comes to trust this shop."""
    say(qr(page))
    say(f"On each phone once: scan this, or open {page}, and install the certificate that it offers.")
    say("The fingerprint that the phone shows must be this one:")
    say(f"  {fingerprint}")
