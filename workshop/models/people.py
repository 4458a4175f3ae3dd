"""Persons, and what they are in a shop."""

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class UserManager(BaseUserManager):
    """Makes users by e-mail."""

    def create_user(self, email, password, name):
        """A user with a hashed password; the e-mail is kept in lower case."""
        user = self.model(email=email.strip().lower(), name=name)
        user.set_password(password)
        user.save()
        return user

    def get_by_natural_key(self, username):
        """Whoever signs in with this e-mail, however it is cased."""
        return self.get(email=username.strip().lower())


class User(AbstractBaseUser):
    """A person who signs in with an e-mail address."""

    email = models.EmailField(unique=True)
    name = models.CharField(max_length=80)
    is_active = models.BooleanField(default=True)
    # empty for a member of one shop only; kept up by `workshop.access` for those who have several
    last_shop = models.ForeignKey(
        "workshop.Shop", on_delete=models.SET_NULL, related_name="+", null=True, blank=True
    )

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    objects = UserManager()

    def __str__(self):
        return self.name


class MemberQuerySet(ShopQuerySet):
    """Questions about who works where."""

    def present(self):
        """Those who have not left."""
        return self.filter(left_at=None)

    def makers(self):
        """Those present whose hands do the work."""
        return self.present().filter(role__in=[Member.Role.OWNER, Member.Role.MAKER])

    def hands(self):
        """How many pairs of hands do the work; a shop without makers is counted as one."""
        return max(1, self.makers().count())

    def owners(self):
        """Those present who decide."""
        return self.present().filter(role=Member.Role.OWNER)

    def guides(self):
        """Makers of the demo: as one of them a newcomer looks around."""
        demo = self.present().filter(shop__is_demo=True, role=Member.Role.MAKER)
        return demo.select_related("shop", "user").order_by("-shop", "pk")

    def guests(self, user):
        """What somebody is in a demo who belongs to no real shop."""
        return self.filter(user=user, shop__is_demo=True).exclude(user__memberships__shop__is_demo=False)


class Member(ShopRow):
    """A person in a shop."""

    class Role(models.TextChoices):
        OWNER = "owner", "owner"
        MAKER = "maker", "maker"
        VIEWER = "viewer", "viewer"

    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role)
    name = models.CharField(max_length=80)
    left_at = models.DateTimeField(null=True, blank=True)

    objects = MemberQuerySet.as_manager()

    class Meta:
        constraints = row_meta(models.UniqueConstraint(fields=["shop", "user"], name="workshop_member_once"))

    def __str__(self):
        return self.name

    @property
    def may_write(self):
        """Viewers look; makers and owners also act."""
        return self.role in {self.Role.OWNER, self.Role.MAKER}
