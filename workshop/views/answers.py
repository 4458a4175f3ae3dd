"""The few answers that all views give."""

from functools import wraps

from django.http import HttpResponse
from django.http.request import split_domain_port
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache

from workshop.setup_code import OWN_MACHINE

UNPROCESSABLE = 422


def form_again(request, template, context):
    """The form with what was typed and a sentence at each field that is wrong."""
    return render(request, template, context, status=UNPROCESSABLE)


def go_to(request, url):
    """On to another page, for a browser with or without script."""
    if request.htmx:
        return HttpResponse(status=204, headers={"HX-Redirect": url})
    return redirect(url)


def is_own_machine(request):
    """Whether the shop was opened by an address that only this machine understands."""
    return split_domain_port(request.get_host())[0] in OWN_MACHINE


def secret_address(view):
    """For pages whose address is a secret: passed on to nobody else, found by nobody, kept by nobody.

    The policy is not `no-referrer`: under that a browser sends forms with the origin `null`, and the
    check against forged forms refuses them.
    """

    @wraps(view)
    @never_cache
    def inner(request, *args, **kwargs):
        response = view(request, *args, **kwargs)
        response["Referrer-Policy"] = "same-origin"
        response["X-Robots-Tag"] = "noindex, nofollow"
        return response

    return inner
