"""An act as it came from a form: its key, its moment, and doing it once."""

import hashlib
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.contrib import messages
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from workshop import receipts
from workshop.forms.again import A_MOMENT_AGO
from workshop.refusals import Refused
from workshop.views.answers import go_to

NOT_CONTENT = {"csrfmiddlewaretoken", "sent_at", "happened_at", "key", "opened", "again"}
LONGEST_WAIT = timedelta(days=31)  # for an act on a phone that finds no way to the server


@dataclass(frozen=True)
class Moment:
    """When an act happened by the server's clock, by the sender's own, and when it arrived."""

    happened_at: datetime
    raw_happened_at: datetime
    received_at: datetime

    @classmethod
    def now(cls, at):
        """An act that happens as it arrives."""
        return cls(at, at, at)


def moment_of(data, received_at):
    """The moment of an act. A phone's clock may be wrong: what counts is how long before sending it was.

    happened = raw + (received − sent), never later than received. It is the arrival without the
    sender's times, and where the act would have waited longer than any does: then the phone's
    clock was set between the act and its sending.
    """
    raw, sent = aware(data.get("happened_at", "")), aware(data.get("sent_at", ""))
    if raw is None or sent is None:
        return Moment.now(received_at)
    waited = sent - raw
    believed = timedelta(0) <= waited <= LONGEST_WAIT
    return Moment(received_at - waited if believed else received_at, raw, received_at)


def aware(text):
    """A moment with its zone, as UTC, or None."""
    try:
        found = parse_datetime(text)
        return found.astimezone(UTC) if found and timezone.is_aware(found) else None
    except (ValueError, OverflowError):
        return None


def key_of(data):
    """The act's key as the client made it; a new one where the form had none."""
    try:
        return uuid.UUID(data.get("key", ""))
    except ValueError:
        return uuid.uuid4()


def content_of(request):
    """What was sent, for its fingerprint: all that was typed, and what each file holds."""
    typed = {name: request.POST.getlist(name) for name in sorted(request.POST) if name not in NOT_CONTENT}
    files = {}
    for name, upload in request.FILES.items():
        digest = hashlib.sha256()
        for chunk in upload.chunks():
            digest.update(chunk)
        upload.seek(0)
        files[name] = digest.hexdigest()
    return {"address": request.get_full_path(), "typed": typed, "files": files}


def perform(request, form, act):
    """Do `act(key, moment)` once, if the form is in order, and go on to the address it returns.

    An act that is sent again is answered as before, though the form might by now find its own code
    taken. Where something is wrong, or has to be asked first, it stands on the form and None is
    returned: show it again.
    """
    moment, key, content = moment_of(request.POST, timezone.now()), key_of(request.POST), content_of(request)
    in_order = form.is_valid()

    def do():
        form.hold_the_row()
        return act(key, moment)

    try:
        answer = receipts.known(request.member, key, content)
        if answer is None and in_order and not has_to_ask(request, form, content, moment):
            answer = receipts.once(request.member, key, content, at=moment.received_at, act=do)
    except Refused as refusal:
        form.add_error(None, str(refusal))
        return None
    if answer and not answer.known and form.told_of_taken_over():
        messages.info(request, form.told_of_taken_over())
    return answer and go_to(request, answer.url)


def has_to_ask(request, form, content, moment):
    """Whether somebody else's change would be put back, or the same was sent a moment ago."""
    if form.is_overtaken(request.member):
        return True
    if not form.asks_again:
        return False
    alike = receipts.alike(request.member, content, since=moment.received_at - A_MOMENT_AGO)
    return form.was_just_sent(alike)
