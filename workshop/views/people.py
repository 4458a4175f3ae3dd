"""The people of a shop: who is in, who is asked in, who decides."""

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from workshop import tokens
from workshop.access import get_row, own_view, owners_only, shop_view
from workshop.acting import perform
from workshop.changes import absences, people
from workshop.forms.absences import AwayForm
from workshop.forms.people import DeedForm, InviteForm, RoleForm, WhyForm
from workshop.models import Absence, Invitation, Member
from workshop.views.answers import form_again, is_own_machine

MOST_AWAY = 60  # rows; nobody plans more holidays than that


def people_url(request):
    """The page that all of these come back to."""
    return reverse("workshop:people", args=[request.shop.key])


def page_of(request, form, away_form=None):
    """What the page of the people shows; `form` carries what an act refused, `away_form` days not entered."""
    members = Member.objects.of(request.shop).select_related("user").order_by("left_at", "name", "pk")
    open_links = Invitation.objects.of(request.shop).open(at=timezone.now()).order_by("expires_at")
    present = [member for member in members if member.left_at is None]
    return {
        "form": form,
        "present": present,
        "away": away_of(request),
        "away_form": away_form
        or AwayForm(shop=request.shop, people=absences.who_can_be_away(request.member, present)),
        "taken_out": absences.last_taken_out(request.shop),
        "gone": [member for member in members if member.left_at],
        "invitations": open_links,
        "room": "shop",
    }


def away_of(request):
    """Who is away and will be: the days, and whether this member may take them out."""
    rows = Absence.objects.of(request.shop).kept().not_over(timezone.localdate()).in_order()[:MOST_AWAY]
    return [(row, absences.may_speak_for(request.member, row.member)) for row in rows]


@shop_view
@require_safe
def people_page(request):
    """Who belongs, who did, and which links are out."""
    return render(request, "workshop/people.html", page_of(request, DeedForm(shop=request.shop)))


@shop_view
@require_http_methods(["GET", "POST"])
def invite(request):
    """A link for one person."""
    owners_only(request)
    form = InviteForm(request.POST or None, shop=request.shop)
    context = {"form": form, "room": "shop", "days": Invitation.DAYS}
    if request.method == "GET":
        return render(request, "workshop/invite.html", context)

    def act(key, moment):
        row = people.invite(request.member, key=key, at=moment.received_at, **form.cleaned_data)
        return reverse("workshop:invitation", args=[request.shop.key, row.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/invite.html", context)


@shop_view
@never_cache
@require_safe
def invitation(request, key):
    """The link of an invitation, to hand over."""
    owners_only(request)
    row = get_row(Invitation.objects.all(), request, key)
    token = tokens.of_invitation(row.key)
    # after a change of the installation's secret an older link leads nowhere
    good = row.is_open(timezone.now()) and tokens.fingerprint(token) == row.token_hash
    link = request.build_absolute_uri(reverse("workshop:join", args=[token])) if good else ""
    context = {
        "invitation": row,
        "link": link,
        "only_here": is_own_machine(request),
        "form": DeedForm(shop=request.shop),
        "room": "shop",
    }
    return render(request, "workshop/invitation.html", context)


def act_on_people(request, deed):
    """Do one of the acts that need no figures, and come back to the people."""
    owners_only(request)
    form = DeedForm(request.POST, shop=request.shop)

    def act(key, moment):
        deed(moment.received_at)
        return people_url(request)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/people.html", page_of(request, form))


@shop_view
@require_POST
def invitation_revoke(request, key):
    """Take a link back."""
    row = get_row(Invitation.objects.all(), request, key)
    return act_on_people(request, lambda at: people.revoke(request.member, row, at=at))


@shop_view
@require_POST
def take_in_again(request, key):
    """Have somebody back."""
    row = get_row(Member.objects.select_related("shop", "user"), request, key)
    return act_on_people(request, lambda at: people.take_in_again(request.member, row, at=at))


@shop_view
@require_http_methods(["GET", "POST"])
def member_page(request, key):
    """One person and their part in the shop."""
    owners_only(request)
    row = get_row(Member.objects.present().select_related("shop", "user"), request, key)
    form = RoleForm(request.POST or None, initial={"role": row.role}, shop=request.shop)
    context = {"form": form, "person": row, "room": "shop"}
    if request.method == "GET":
        return render(request, "workshop/member.html", context)

    def act(act_key, moment):
        people.change_role(request.member, row, at=moment.received_at, **form.cleaned_data)
        return people_url(request)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/member.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def member_remove(request, key):
    """Ask, then put somebody out of the shop."""
    owners_only(request)
    row = get_row(Member.objects.select_related("shop", "user"), request, key)
    form = WhyForm(request.POST or None, shop=request.shop)
    context = {"form": form, "person": row, "room": "shop"}
    if request.method == "GET":
        return render(request, "workshop/member_remove.html", context)

    def act(act_key, moment):
        people.remove(request.member, row, at=moment.received_at, **form.cleaned_data)
        return people_url(request)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/member_remove.html", context)


@own_view
@require_http_methods(["GET", "POST"])
def leave(request):
    """Ask, then go."""
    form = WhyForm(request.POST or None, shop=request.shop)
    context = {"form": form, "room": "shop"}
    if request.method == "GET":
        return render(request, "workshop/leave.html", context)

    def act(key, moment):
        people.leave(request.member, at=moment.received_at, **form.cleaned_data)
        return reverse("workshop:home")

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/leave.html", context)
