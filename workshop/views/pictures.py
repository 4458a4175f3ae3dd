"""Answers with a photo, to those who may see it."""

from django.core.files.storage import default_storage
from django.http import FileResponse, Http404
from django.views.decorators.http import require_safe

from workshop import pictures
from workshop.access import get_row, shop_view
from workshop.models import Picture


@shop_view
@require_safe
def picture(request, key, size):
    """One size of a photo of this shop."""
    row = get_row(Picture.objects.select_related("shop"), request, key)
    if (
        size not in pictures.SIZES
        or row.removed_at
        or not default_storage.exists(pictures.path_of(row, size))
    ):
        raise Http404("No such page")
    response = FileResponse(default_storage.open(pictures.path_of(row, size)), content_type="image/jpeg")
    # a picture never changes, and only its shop may see it
    response["Cache-Control"] = "private, max-age=31536000, immutable"
    response["Content-Disposition"] = "inline"
    return response
