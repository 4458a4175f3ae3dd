"""The way into a shop by a link."""

from django.conf import settings
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from workshop import tokens
from workshop.changes import people
from workshop.forms.people import AccountForm, DeedForm
from workshop.models import Invitation
from workshop.refusals import Refused
from workshop.views.answers import form_again, go_to, secret_address

GONE = 410


def spent(invitation, at):
    """Why a link leads nowhere, in a sentence."""
    if invitation.revoked_at:
        return "The shop took this link back."
    if invitation.used_at:
        return "This link has been used. Each lets one person in, once."
    return f"This link ran out. Each is good for {Invitation.DAYS} days."


@login_not_required
@secret_address
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def join(request, token):
    """A link that was handed over: sign in or open an account, and be a member."""
    found = Invitation.objects.select_related("shop", "used_by", "created_by")
    row = found.filter(token_hash=tokens.fingerprint(token)).first()
    if row is None:
        raise Http404("No such link")
    if was_mine(request, row):
        return go_to(request, reverse("projects:now", args=[row.shop.key]))
    if not row.is_open(timezone.now()):
        context = {"sentence": spent(row, timezone.now())}
        return render(request, "workshop/link_gone.html", context, status=GONE)
    form = form_for(request)
    context = {"form": form, "invitation": row, "here": request.path}
    if request.method == "GET":
        return render(request, "workshop/join.html", context)
    done = form.is_valid() and come_in(request, row, form)
    return done or form_again(request, "workshop/join.html", context)


def was_mine(request, invitation):
    """Whether it was this very person who used the link, e.g. by pressing twice."""
    member = invitation.used_by
    return bool(member and member.left_at is None and member.user_id == request.user.pk)


def form_for(request):
    """One button for whoever is signed in, an account for whoever isn't."""
    return (DeedForm if request.user.is_authenticated else AccountForm)(request.POST or None)


def come_in(request, invitation, form):
    """Into the shop; None with a sentence on the form where that can't be."""
    at = timezone.now()
    try:
        if request.user.is_authenticated:
            member = people.join(request.user, invitation, at=at)
        else:
            member = people.open_account(invitation, at=at, **form.cleaned_data)
            login(request, member.user, backend=settings.AUTHENTICATION_BACKENDS[-1])
    except Refused as refusal:
        form.add_error(None, str(refusal))
        return None
    return go_to(request, reverse("projects:now", args=[member.shop.key]))
