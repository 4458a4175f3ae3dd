"""History, readable."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.views.decorators.http import require_safe

from workshop import told
from workshop.access import shop_view
from workshop.models import Event, Member

LINES = 50


@shop_view
@require_safe
def history(request):
    """Who did what, newest first; all of it, or what one person did, or one kind."""
    members = list(Member.objects.of(request.shop).order_by("left_at", "name", "pk"))
    who, kind = request.GET.get("who", ""), request.GET.get("kind", "")
    person = next((member for member in members if str(member.key) == who), None)
    events = Event.objects.of(request.shop).select_related("actor").order_by("-at", "-pk")
    if person:
        events = events.filter(actor=person)
    if kind in told.GROUPS:
        events = events.of_kind(told.GROUPS[kind][1], logged=kind == "bench")
    page = Paginator(events, LINES).get_page(request.GET.get("page"))
    teller = told.Teller(request.shop.units, told.lot_units([event.target_key for event in page]))
    context = {
        "page": page,
        "lines": [teller.tell(event) for event in page],
        "members": members,
        "person": person,
        "kinds": [(name, word) for name, (word, _) in told.GROUPS.items()],
        "kind": kind if kind in told.GROUPS else "",
        "room": "shop",
    }
    return render(request, "workshop/history.html", context)
