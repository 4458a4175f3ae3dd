"""The shop's clock on the wall is the one that pages show."""

from django.utils import timezone


class ShopTimeZoneMiddleware:
    """Leaves no time zone behind from one request for the next."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        # the view's access check activates the shop's zone; a worker thread serves many shops
        with timezone.override(None):
            return self.get_response(request)
