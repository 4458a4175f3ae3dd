"""The calendar of a member: its page, and the address that a calendar program asks."""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.feed import ical, kept
from projects.feed.events import events_of
from workshop import throttle, tokens
from workshop.access import own_view
from workshop.acting import perform
from workshop.changes import feeds
from workshop.forms.people import DeedForm
from workshop.models import FeedLink
from workshop.views.answers import form_again, is_own_machine, secret_address

MINUTE, MOST_A_MINUTE = 60, 20
TOO_MANY = 429


def link_of(member):
    """The address of a member that answers, or None."""
    return FeedLink.objects.good().filter(member=member).select_related("shop").first()


@own_view
@never_cache
@require_http_methods(["GET", "POST"])
def feed(request):
    """The page of one's own calendar address; POST makes one, or another in its place."""
    form = DeedForm(request.POST or None, shop=request.shop)
    if request.method == "GET":
        link, now = link_of(request.member), timezone.now()
        token = feeds.show_once(link, at=now) if link and link.shown_at is None else ""
        address = request.build_absolute_uri(reverse("calendar", args=[token])) if token else ""
        context = {
            "form": form,
            "link": link,
            "address": address,
            "only_here": is_own_machine(request),
            "room": "shop",
        }
        return render(request, "projects/feed.html", context)

    def act(key, moment):
        feeds.make(request.member, key=key, at=moment.received_at)
        return reverse("projects:feed", args=[request.shop.key])

    return act_or_again(request, form, act)


@own_view
@require_POST
def feed_revoke(request):
    """Take one's address back."""
    form = DeedForm(request.POST, shop=request.shop)

    def act(key, moment):
        feeds.revoke(request.member, at=moment.received_at)
        return reverse("projects:feed", args=[request.shop.key])

    return act_or_again(request, form, act)


def act_or_again(request, form, act):
    """Do it, or the page with what was refused."""
    done = form.is_valid() and perform(request, form, act)
    context = {"form": form, "link": link_of(request.member), "address": "", "room": "shop"}
    return done or form_again(request, "projects/feed.html", context)


@login_not_required
@secret_address
@require_safe
def calendar(request, token):
    """What a calendar program gets who knows the secret; nobody else learns that there is anything."""
    mark = tokens.fingerprint(token)
    links = FeedLink.objects.good().select_related("shop", "member__user", "member__shop")
    link = links.filter(token_hash=mark).first()
    asks = f"feed.{mark}" if link else f"feed.unknown.{request.META.get('REMOTE_ADDR')}"
    if not throttle.allowed(asks, most=MOST_A_MINUTE, seconds=MINUTE):
        sentence = "Too often. Ask again in a minute."
        return HttpResponse(sentence, status=TOO_MANY, headers={"Retry-After": MINUTE})
    if link is None:
        raise Http404("No such link")
    return answer(request, link, timezone.now())


def answer(request, link, now):
    """The calendar as a file."""
    items = kept.bring_up(link, events_of(link.member, now), now)
    root = request.build_absolute_uri(f"/s/{link.shop.key}/")
    content = ical.calendar_of(items, name=f"{link.shop.name} · {link.member.name}", root=root)
    response = HttpResponse(content, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = 'inline; filename="grainglass.ics"'
    return response
