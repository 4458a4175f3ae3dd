"""`manage.py backup [--to DIR]`: database and pictures, whole, checked, old ones thinned."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from workshop.keeping import backup
from workshop.keeping.trouble import KeepingTrouble


class Command(BaseCommand):
    help = "Keep database and pictures in a folder of their own; the shop may go on meanwhile."

    def add_arguments(self, parser):
        parser.add_argument(
            "--to", type=Path, help="the folder of the backups (default: backups in the data folder)"
        )

    def handle(self, *args, to=None, **options):
        try:
            whole = backup.make((to or backup.usual_folder()).absolute(), timezone.now())
        except KeepingTrouble as trouble:
            raise CommandError(str(trouble)) from trouble
        self.stdout.write(f"Kept, and read again: {whole}")
