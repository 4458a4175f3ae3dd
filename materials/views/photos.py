"""A photo or a data sheet that comes with a form: looked at before the act, so that nobody waits for it."""

from django.utils import timezone

from workshop import documents, pictures, receipts
from workshop.acting import content_of, key_of, perform
from workshop.refusals import Refused


def with_upload(request, form, field, act):
    """`perform`, where `act(key, moment, kept)` gets the picture of a field, or None where none came.

    The upload is decoded before the act's transaction, so that the database is not held meanwhile; an
    act that is known already is answered without decoding again. What can't be kept is said at the field.
    """
    upload, kept = form.is_valid() and form.cleaned_data.get(field), None
    if upload and not was_known(request):
        take_in = documents.take_in if field == "sheet" else pictures.take_in
        try:
            kept = take_in(upload, request.member, at=timezone.now())
        except (pictures.NotAPicture, documents.NotADocument) as problem:
            form.add_error(field, str(problem))
            return None
    return perform(request, form, lambda key, moment: act(key, moment, kept))


def was_known(request):
    """Whether this very act was done before; an act that clashes is left to `perform` to refuse."""
    try:
        return receipts.known(request.member, key_of(request.POST), content_of(request)) is not None
    except Refused:
        return True
