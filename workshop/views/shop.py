"""The shop's page and the health page."""

from django.contrib.auth.decorators import login_not_required
from django.db import connection
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from workshop import actions
from workshop.access import owners_only, shop_view
from workshop.acting import perform
from workshop.forms.shop import ShopSettingsForm
from workshop.models import Member
from workshop.views.answers import form_again

SETTINGS = tuple(ShopSettingsForm.base_fields)


@shop_view
@require_http_methods(["GET", "POST"])
def shop_page(request):
    """Settings and people of the shop."""
    initial = {name: getattr(request.shop, name) for name in SETTINGS}
    form = ShopSettingsForm(request.POST or None, initial=initial, shop=request.shop, row=request.shop)
    members = Member.objects.of(request.shop).present().select_related("user").order_by("pk")
    context = {"form": form, "members": members, "room": "shop"}
    if request.method == "GET":
        return render(request, "workshop/shop.html", context)
    owners_only(request)

    def act(key, moment):
        actions.change_shop(request.member, form.cleaned_data, at=moment.received_at)
        return reverse("workshop:shop", args=[request.shop.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/shop.html", context)


@login_not_required
@require_safe
def icon(request):
    """Our own icon, for whoever asks at the usual address instead of reading the page."""
    return redirect(static("icons/mark.ico"))


@login_not_required
@require_safe
def health(request):
    """Says `ok` when the database answers."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("ok", content_type="text/plain")
