"""`manage.py restore FILE_OR_DIR [--replace]`: a backup put back, and checked."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from workshop.keeping import restore
from workshop.keeping.trouble import KeepingTrouble


class Command(BaseCommand):
    help = "Put a backup back, or a copy made before a migration. Stop the shop first."

    def add_arguments(self, parser):
        parser.add_argument("given", type=Path, help="the folder of a backup, or an SQLite file")
        parser.add_argument(
            "--replace", action="store_true", help="replace what is there; it is kept as a backup first"
        )

    def handle(self, *args, given, replace, **options):
        try:
            done = restore.restore(given.absolute(), timezone.now(), replace=replace)
        except KeepingTrouble as trouble:
            raise CommandError(str(trouble)) from trouble
        if done.kept:
            self.stdout.write(f"What stood here before is kept: {done.kept}")
        rows, pictures = sum(done.rows.values()), done.media["files"]
        self.stdout.write(
            f"Put back: {rows} rows and {pictures} files, all counted. Everybody signs in again."
        )
