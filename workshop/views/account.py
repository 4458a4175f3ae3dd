"""A person's password: changed by the old one, or by a link where it is lost."""

import logging

from axes.utils import reset as forget_wrong_tries
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import authenticate, update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.core.mail import send_mail
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from workshop import tokens
from workshop.changes import passwords
from workshop.forms.account import AskForm, PasswordForm, ResetForm
from workshop.models import PasswordReset, User
from workshop.views.answers import form_again, go_to, secret_address

log = logging.getLogger(__name__)
GONE = 410
LETTER = """{name},

somebody asked for a new password for you in Grainglass. If that was you, open this within an hour:

{link}

If it was not you, do nothing: your password stays as it is.
"""


@never_cache
@sensitive_post_parameters("old", "new")
@require_http_methods(["GET", "POST"])
def password(request):
    """A new password; everywhere else one has to sign in again."""
    form = PasswordForm(request.POST or None, user=request.user)
    if request.method == "GET":
        return render(request, "workshop/password.html", {"form": form})
    if not (form.is_valid() and old_is_right(request, form)):
        return form_again(request, "workshop/password.html", {"form": form})
    user = passwords.set_password(request.user, form.cleaned_data["new"], at=timezone.now())
    update_session_auth_hash(request, user)
    messages.success(request, "The new password holds. Everywhere else you have to sign in again.")
    return go_to(request, reverse("workshop:home"))


def old_is_right(request, form):
    """Whether the old password fits; the throttle counts wrong ones here too."""
    old, new = form.cleaned_data["old"], form.cleaned_data["new"]
    if authenticate(request, username=request.user.email, password=old):
        return True
    if request.user.check_password(new):
        return True  # sent twice: the new one holds already
    form.add_error("old", "This is not your password until now. Look at it and try again.")
    return False


@login_not_required
@never_cache
@require_http_methods(["GET", "POST"])
def reset_ask(request):
    """A lost password: a mail with a link, or whom to ask."""
    form = AskForm(request.POST or None)
    context = {"form": form, "by_mail": settings.MAIL, "sent": False}
    if request.method == "GET" or not settings.MAIL:
        return render(request, "workshop/reset_ask.html", context)
    if not form.is_valid():
        return form_again(request, "workshop/reset_ask.html", context)
    send_link(request, form.cleaned_data["email"])
    # the same answer whether there is such an account or not
    return render(request, "workshop/reset_ask.html", {**context, "sent": True})


def send_link(request, email):
    """Mail a link to whoever has this e-mail; to nobody otherwise, and no more than three an hour."""
    user = User.objects.filter(email=email, is_active=True).first()
    token = user and passwords.make_link(user, at=timezone.now(), most=passwords.LINKS_AN_HOUR)
    if not token:
        return
    link = request.build_absolute_uri(reverse("workshop:reset", args=[token]))
    try:
        send_mail(
            "A new password for Grainglass", LETTER.format(name=user.name, link=link), None, [user.email]
        )
    except OSError:  # no answer from the mail server; smtplib's own faults are among these
        log.exception("The mail with a link to a new password could not be sent")


@login_not_required
@secret_address
@sensitive_post_parameters("new")
@require_http_methods(["GET", "POST"])
def reset(request, token):
    """A link to a new password."""
    row = PasswordReset.objects.filter(token_hash=tokens.fingerprint(token)).select_related("user").first()
    if row is None:
        raise Http404("No such link")
    at = timezone.now()
    if not row.is_open(at):
        return link_gone(request)
    form = ResetForm(request.POST or None, user=row.user)
    context = {"form": form, "person": row.user}
    if request.method == "GET":
        return render(request, "workshop/reset.html", context)
    if not form.is_valid():
        return form_again(request, "workshop/reset.html", context)
    try:
        passwords.use_link(row, form.cleaned_data["new"], at=at)
    except passwords.LinkIsSpent:
        return link_gone(request)
    forget_wrong_tries(username=row.user.email)
    messages.success(request, "The new password holds. Sign in with it.")
    return go_to(request, reverse("workshop:sign-in"))


def link_gone(request):
    """The link was used or its hour is over."""
    sentence = "This link was used, or its hour is over. Ask for a new one."
    return render(request, "workshop/link_gone.html", {"sentence": sentence}, status=GONE)
