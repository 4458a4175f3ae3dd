"""What the frame of every page knows."""

from django.urls import reverse
from django.utils import timezone

from workshop.models import Shop

ROOMS = [
    ("now", "Now", "projects:now"),
    ("projects", "Projects", "projects:project-list"),
    ("shelf", "Shelf", "materials:shelf"),
    ("week", "Week", "projects:week"),
    ("bench", "Bench", "projects:bench"),
    ("lessons", "Lessons", "projects:lessons"),
    ("shop", "Shop", "workshop:shop"),
]


def frame(request):
    """Shop, member, rooms that exist so far, the server's clock; the way from a demo to an own shop."""
    shop = getattr(request, "shop", None)
    rooms = [(key, word, reverse(name, args=[shop.key])) for key, word, name in ROOMS] if shop else []
    return {
        "shop": shop,
        "member": getattr(request, "member", None),
        "rooms": rooms,
        "clocks_url": reverse("projects:clocks", args=[shop.key]) if shop else "",
        "server_now": timezone.now(),
        "may_found": bool(shop) and shop.is_demo and not Shop.objects.real().exists(),
    }
