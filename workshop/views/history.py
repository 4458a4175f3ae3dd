"""History, readable."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.views.decorators.http import require_safe

from workshop.access import shop_view
from workshop.models import Event


@shop_view
@require_safe
def history(request):
    """Who did what, newest first."""
    events = Event.objects.of(request.shop).select_related("actor").order_by("-at", "-pk")
    page = Paginator(events, 50).get_page(request.GET.get("page"))
    return render(request, "workshop/history.html", {"page": page, "room": "shop"})
