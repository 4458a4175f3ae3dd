"""`manage.py worker`: does the long jobs, one after the other, until it is told to stop."""

import socket

from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils import timezone

from config.running import parent
from workshop import jobs


class Command(BaseCommand):
    help = "Do the long jobs of all shops. `start` runs one beside the web server by itself."

    def add_arguments(self, parser):
        parser.add_argument(
            "--name",
            default=socket.gethostname()[:64],
            help="its own name among several workers (default: that of this machine)",
        )
        parser.add_argument("--batch", action="store_true", help="do what waits, then end")

    def handle(self, *args, name, batch, **options):
        parent.end_with_it()
        # a worker of this name that was killed can't have said so itself
        jobs.interrupt(name, at=timezone.now())
        call_command("db_worker", worker_id=name, batch=batch, reload=False, startup_delay=False, verbosity=0)
