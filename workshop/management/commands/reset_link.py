"""`manage.py reset_link EMAIL`: a link to a new password, good for an hour, once."""

from django.core.management.base import BaseCommand, CommandError
from django.urls import reverse
from django.utils import timezone

from workshop.changes import passwords
from workshop.models import User


class Command(BaseCommand):
    help = "Show a link by which somebody sets a new password. Hand it to nobody else."

    def add_arguments(self, parser):
        parser.add_argument("email")
        parser.add_argument(
            "--address",
            default="http://127.0.0.1:8000",
            help="where the shop is reached (default: %(default)s)",
        )

    def handle(self, *args, email, address, **options):
        user = User.objects.filter(email=email.strip().lower()).first()
        if user is None:
            raise CommandError(f"Nobody signs in with {email}.")
        token = passwords.make_link(user, at=timezone.now())
        self.stdout.write(f"For {user.name}, for one hour, once:")
        self.stdout.write(address.rstrip("/") + reverse("workshop:reset", args=[token]))
