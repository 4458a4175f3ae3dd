"""The few answers that all views give."""

from django.http import HttpResponse
from django.shortcuts import redirect, render

UNPROCESSABLE = 422


def form_again(request, template, context):
    """The form with what was typed and a sentence at each field that is wrong."""
    return render(request, template, context, status=UNPROCESSABLE)


def go_to(request, url):
    """On to another page, for a browser with or without script."""
    if request.htmx:
        return HttpResponse(status=204, headers={"HX-Redirect": url})
    return redirect(url)
