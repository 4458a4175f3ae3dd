"""`manage.py demo [--again]`: a shop with two years behind it, to look around in."""

import os
import time
import zoneinfo
from datetime import datetime
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from projects.demo import load
from workshop.models import Shop


class Command(BaseCommand):
    help = "Load the demo shop: invented people, projects, pours, failures and photos."

    def add_arguments(self, parser):
        parser.add_argument(
            "--again", action="store_true", help="make a new one; the one that is there is put away"
        )
        parser.add_argument("--zone", help="the time zone of its clock (default: this machine's)")
        parser.add_argument(
            "--at",
            type=moment,
            help="the moment at which its story ends, as 2026-03-10T09:00+01:00 (default: now)",
        )

    def handle(self, *args, again=False, zone=None, at=None, **options):
        zone = zone or zone_of_machine()
        if zone not in zoneinfo.available_timezones():
            raise CommandError(f"“{zone}” is no time zone. They look like Europe/Berlin.")
        if Shop.objects.demos().exists() and not again:
            raise CommandError("There is a demo already. With --again it is put away and a new one made.")
        self.stdout.write("Loading the demo shop, two years of it: up to a minute ...")
        self.stdout.flush()  # into a pipe it would be seen only at the end
        begun = time.monotonic()
        loaded = load.load(at or timezone.now(), zone=zone)
        self.stdout.write(f"{loaded.shop.name} is there, after {time.monotonic() - begun:.0f} s. Its people:")
        for email, password in loaded.passwords.items():
            self.stdout.write(f"  {email}  {password}")
        self.stdout.write("These passwords are shown this once.")
        self.stdout.write(
            "To look around, sign out of your own shop and sign in at /sign-in/ with one of them."
        )


def moment(text):
    """A moment with its zone."""
    found = datetime.fromisoformat(text)
    if found.tzinfo is None:
        raise ValueError("without a zone")
    return found


def zone_of_machine():
    """The time zone of this machine, by the name that zone tables know; UTC where it is not told."""
    known = zoneinfo.available_timezones()
    link = Path("/etc/localtime")
    words = [os.environ.get("TZ", "").lstrip(":")]
    if link.is_symlink():
        words.append(str(link.readlink()).partition("zoneinfo/")[2])
    return next((word for word in words if word in known), "UTC")
