"""`start --lan`: the shop served to its phones over https, with a certificate authority of its own."""

import argparse
import ipaddress
import os
import socket
import struct
import sys
from contextlib import suppress
from datetime import UTC, datetime

from config.running.certificate_page import CertificatePage
from config.running.certificates import Certificates
from config.running.console import CannotGoOnError, say
from config.running.folders import data_folder
from config.serve import Place, must_be_free, serve

PROBES = ("192.168.255.254", "10.255.255.254", "172.31.255.254")
"""Addresses in the private ranges: asking how one would get there tells our own address; nothing is sent."""
INTERFACE_ADDRESS = 0x8915
"""SIOCGIFADDR of Linux (linux/sockios.h): the IPv4 address of an interface, in bytes 20 to 24."""


def own_addresses() -> list[str]:
    """The private addresses of this machine; the one on the way out of the building first."""
    ways = [address for probe in PROBES for address in way_to(probe)]
    return private_only([*ways, *of_interfaces()])


def way_to(probe: str) -> list[str]:
    """Our own address on the way to another one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect((probe, 9))
        except OSError:
            return []
        return [way.getsockname()[0]]


def of_interfaces() -> list[str]:
    """The address of each network interface, where the system is one that tells (Linux)."""
    if not sys.platform.startswith("linux"):
        return []
    import fcntl

    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        for _, name in socket.if_nameindex():
            with suppress(OSError):
                answer = fcntl.ioctl(asking, INTERFACE_ADDRESS, struct.pack("256s", name.encode()[:15]))
                found.append(socket.inet_ntoa(answer[20:24]))
    return found


def private_only(addresses: list[str]) -> list[str]:
    """Those that lie in a local network and not in this machine alone, each once.

    >>> private_only(["127.0.0.1", "192.0.2.7", "192.168.1.20", "192.168.1.20"])
    ['192.168.1.20']
    """
    known = [ipaddress.IPv4Address(address) for address in dict.fromkeys(addresses)]
    return [str(address) for address in known if any(address in net for net in Certificates.NETWORKS)]


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
        return serve(place, options.workers, demo=not options.empty)


def show_the_way(page: str, fingerprint: str) -> None:
    """Say how a phone comes to trust this shop."""
    say(qr(page))
    say(f"On each phone once: scan this, or open {page}, and install the certificate that it offers.")
    say("The fingerprint that the phone shows must be this one:")
    say(f"  {fingerprint}")
