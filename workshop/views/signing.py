"""Signing in and out, and the first set-up."""

from django.conf import settings
from django.contrib.auth import authenticate, login, logout
from django.contrib.auth.decorators import login_not_required
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from workshop import actions, setup_code
from workshop.forms.signing import SignInForm, WelcomeForm
from workshop.models import Member, Shop, User
from workshop.views.answers import form_again, go_to, is_own_machine

LOOPBACK_ADDRESSES = {"127.0.0.1", "::1"}


@login_not_required
@require_safe
def home(request):
    """Sends everybody to where they belong."""
    if not request.user.is_authenticated:
        return redirect("workshop:sign-in" if Shop.objects.real().exists() else "workshop:welcome")
    members = list(Member.objects.present().filter(user=request.user).select_related("shop").order_by("pk"))
    if not members:
        return render(request, "workshop/no_shop.html")
    last = request.user.last_shop_id
    member = next((one for one in members if one.shop_id == last), members[0])
    return redirect("projects:now", shop=member.shop.key)


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def sign_in(request):
    """E-mail and password; the throttle counts wrong ones."""
    if not User.objects.exists():
        return redirect("workshop:welcome")
    form = SignInForm(request, request.POST or None)
    context = {
        "form": form,
        "next": request.POST.get("next", request.GET.get("next", "")),
        "may_found": not Shop.objects.real().exists(),
    }
    if request.method == "GET":
        return render(request, "workshop/sign_in.html", context)
    if not form.is_valid():
        return form_again(request, "workshop/sign_in.html", context)
    login(request, form.get_user())
    return go_to(request, safe_next(request, context["next"]))


def safe_next(request, url):
    """Where somebody wanted to go, if that is a page of ours."""
    allowed = url_has_allowed_host_and_scheme(url, {request.get_host()}, require_https=request.is_secure())
    return url if url and allowed else "/"


def locked_out(request, credentials=None, *args, **kwargs):
    """The answer after too many wrong passwords."""
    return render(request, "workshop/locked_out.html", status=429)


@require_POST
def sign_out(request):
    """Out, and back to the door."""
    logout(request)
    return redirect("workshop:sign-in")


def is_local(request):
    """Whether the browser runs on the very machine, with nobody's proxy between."""
    return (
        not (settings.PRODUCTION or settings.BEHIND_PROXY)
        and is_own_machine(request)
        and request.META.get("REMOTE_ADDR") in LOOPBACK_ADDRESSES
        and "HTTP_X_FORWARDED_FOR" not in request.META
        and "HTTP_FORWARDED" not in request.META
    )


@login_not_required
@never_cache
@sensitive_post_parameters("password", "code")
@require_http_methods(["GET", "POST"])
def welcome(request):
    """The first member names the shop; afterwards this page is gone."""
    if Shop.objects.real().exists():
        return redirect("workshop:home")
    needs_code = not is_local(request)
    if needs_code:
        setup_code.current_code()  # made now where nobody asked for it before
    form = WelcomeForm(request.POST or None, needs_code=needs_code)
    guide = Member.objects.guides().first()
    context = {"form": form, "demo": guide and guide.shop, "may_look_around": guide and is_local(request)}
    if request.method == "GET":
        return render(request, "workshop/welcome.html", context)
    if not (form.is_valid() and code_fits(form)):
        return form_again(request, "workshop/welcome.html", context)
    typed = {name: form.cleaned_data[name] for name in ("email", "password", "name", "shop_name", "zone")}
    try:
        member = actions.set_up(**typed, at=timezone.now())
    except actions.AlreadySetUp:
        return redirect("workshop:sign-in")
    setup_code.spend_code()
    login(request, authenticate(request, username=typed["email"].lower(), password=typed["password"]))
    return redirect("projects:now", shop=member.shop.key)


@login_not_required
@never_cache
@require_POST
def look_around(request):
    """Into the demo as one of its makers, at this machine only and until a real shop is founded.

    Whoever gets in this way reaches the demo and nothing else: its makers belong to no other shop.
    """
    guide = Member.objects.guides().first()
    if guide is None or not is_local(request) or Shop.objects.real().exists():
        return redirect("workshop:home")
    login(request, guide.user, backend="django.contrib.auth.backends.ModelBackend")
    return redirect("projects:now", shop=guide.shop.key)


def code_fits(form):
    """Whether the one-time code is right, where one is needed; else the field says so."""
    if not form.needs_code:
        return True
    typed = form.cleaned_data.get("code", "").strip().upper().replace("-", "").replace(" ", "")
    if setup_code.is_right(typed):
        return True
    form.add_error(
        "code",
        "This is not the code. It stands on the console where Grainglass was started, "
        "and in the file setup-code of its data folder.",
    )
    return False
