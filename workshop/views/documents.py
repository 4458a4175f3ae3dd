"""Hands out a data sheet, to those who may see it."""

from django.core.files.storage import default_storage
from django.http import FileResponse, Http404
from django.views.decorators.http import require_safe

from workshop import documents
from workshop.access import get_row, shop_view
from workshop.models import Document


@shop_view
@require_safe
def document(request, key):
    """A document of this shop, to be kept by who asks: it never opens inside our pages."""
    row = get_row(Document.objects.filter(removed_at=None).select_related("shop"), request, key)
    path = documents.path_of(row)
    if not default_storage.exists(path):
        raise Http404("No such page")
    response = FileResponse(
        default_storage.open(path), as_attachment=True, filename=row.name, content_type="application/pdf"
    )
    # what somebody uploaded may be made to do harm: no browser runs anything of it in our name
    response["Content-Security-Policy"] = "sandbox"
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, max-age=31536000, immutable"
    return response
