"""A person's shops: choosing one, starting another."""

import uuid

from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from workshop import actions
from workshop.acting import key_of
from workshop.forms.account import NewShopForm
from workshop.models import Member
from workshop.views.answers import form_again, go_to


@require_safe
def shops(request):
    """The shops one belongs to."""
    members = Member.objects.present().filter(user=request.user).select_related("shop")
    return render(request, "workshop/shops.html", {"members": members.order_by("shop__name", "pk")})


@require_http_methods(["GET", "POST"])
def shop_new(request):
    """A shop of one's own. Who plays one of the demo's people founds it as themselves."""
    if Member.objects.guests(request.user).exists():
        return redirect("workshop:welcome")
    form = NewShopForm(request.POST or None)
    if request.method == "GET":
        return render(request, "workshop/shop_new.html", {"form": form})
    if not form.is_valid():
        return form_again(request, "workshop/shop_new.html", {"form": form})
    # of the act's key and the person, so that nobody can name a key that is another shop's
    key = uuid.uuid5(key_of(request.POST), f"shop of {request.user.pk}")
    member = actions.found_another(user=request.user, **form.cleaned_data, at=timezone.now(), key=key)
    return go_to(request, reverse("projects:now", args=[member.shop.key]))
