"""What to buy: all of it, with packs and days, and as a list to take along."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from materials import ageing, buying
from workshop.access import shop_view

PAGE = 40


@shop_view
@require_safe
def what_to_buy(request):
    """What open projects want and the shelf has not, and what runs low."""
    today = timezone.localdate()
    context = {
        "page": Paginator(buying.to_buy(request.shop, today), PAGE).get_page(request.GET.get("page")),
        "low": ageing.running_low(request.shop),
        "today": today,
        "room": "shelf",
    }
    return render(request, "materials/what_to_buy.html", context)
