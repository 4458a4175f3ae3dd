"""Who may see and do what. Every view of a shop goes through here."""

from functools import wraps

from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.utils import timezone

from workshop.models import Member, User

SAFE = {"GET", "HEAD", "OPTIONS"}
LOOK_ONLY = (
    "You can look at everything here, but not change it. Ask an owner of the shop to make you a maker."
)


def shop_view(view):
    """For views below `/s/<shop>/`: finds the member, or answers that there is no such page.

    The view gets `request.member` and `request.shop`; times on the page are the shop's.
    A viewer who tries to change something is refused with a sentence (403).
    """
    return with_member(view, viewers_act=False)


def own_view(view):
    """A shop's view for what is everybody's own matter, like leaving: viewers may act too."""
    return with_member(view, viewers_act=True)


def with_member(view, *, viewers_act):
    """The view behind the access check."""

    @wraps(view)
    def inner(request, shop, **kwargs):
        member = (
            Member.objects.present()
            .select_related("shop", "user")
            .filter(shop__key=shop, user=request.user)
            .first()
        )
        if member is None:
            raise Http404("No such page")
        if request.method not in SAFE and not (member.may_write or viewers_act):
            raise PermissionDenied(LOOK_ONLY)
        request.member = member
        request.shop = member.shop
        remember(member)
        timezone.activate(member.shop.tz)
        return view(request, **kwargs)

    return inner


def remember(member):
    """Keep which of several shops was used last; members of one shop cost no write."""
    if member.user.last_shop_id not in {None, member.shop_id}:
        User.objects.filter(pk=member.user_id).update(last_shop=member.shop)


def get_row(queryset, request, key):
    """One row of this shop by its key, or no such page."""
    row = queryset.of(request.shop).filter(key=key).first()
    if row is None:
        raise Http404("No such page")
    return row


def owners_only(request):
    """Stops makers where only an owner decides."""
    if request.member.role != Member.Role.OWNER:
        raise PermissionDenied("Only an owner of the shop can change this. Ask one of them.")
