"""What people read when something can't be had."""

from django.shortcuts import render

NO_FRAME = {"shop": None, "member": None, "rooms": []}


def forbidden(request, exception=None):
    """403: may look, not change."""
    return render(request, "403.html", {"sentence": str(exception or "")}, status=403)


def missing(request, exception=None):
    """404: not here, or not yours: the same answer."""
    return render(request, "404.html", status=404)


def broken(request):
    """500: ours to mend; says that nothing typed is lost."""
    return render(request, "500.html", NO_FRAME, status=500)


def csrf_failure(request, reason=""):
    """The page was older than the sign-in."""
    return render(request, "csrf.html", status=403)
