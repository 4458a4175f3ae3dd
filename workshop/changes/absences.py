"""Days on which somebody is away: entered, taken out, put back. Nothing is ever deleted."""

from django.db import transaction

from workshop import history
from workshop.changes.people import lock_shop
from workshop.models import Absence, Event, Member
from workshop.refusals import Refused

ENTERED, TAKEN_OUT, PUT_BACK = "entered days away", "took out days away", "put back days away"
GONE = "This person has left the shop, so there is nobody to be away. Load the page again."
NOT_YOURS = "Only an owner can do this for somebody else."
TWICE = "These very days stand there already."


def may_speak_for(member, person):
    """Whether somebody enters another's days: makers their own, owners anybody's."""
    return member.role == Member.Role.OWNER or (member.may_write and member.pk == person.pk)


def who_can_be_away(member, present):
    """Whose days somebody may enter, themselves in front."""
    mine = [person for person in present if may_speak_for(member, person)]
    return sorted(mine, key=lambda person: person.pk != member.pk)


@transaction.atomic
def enter(member, person, first_day, last_day, *, at, note=""):
    """Somebody is away from one day to another.

    Raises Refused for somebody else's days by who is no owner, for who left, and for the same days twice.
    """
    lock_shop(member.shop_id)
    speak_for(member, person)
    if not Member.objects.of(member.shop).present().filter(pk=person.pk).exists():
        raise Refused(GONE)
    if Absence.objects.of(member.shop).kept().very_days(person, first_day, last_day).exists():
        raise Refused(TWICE)
    row = Absence.objects.create(
        shop=member.shop,
        created_at=at,
        created_by=member.user,
        member=person,
        first_day=first_day,
        last_day=last_day,
        note=note,
    )
    tell(member, ENTERED, row, at=at)
    return row


@transaction.atomic
def take_out(member, absence, *, at):
    """The days no longer count; they can be put back."""
    if change(member, absence, at, removed=True):
        tell(member, TAKEN_OUT, absence, at=at)


@transaction.atomic
def put_back(member, absence, *, at):
    """Days that were taken out count again.

    Raises Refused where the same days were entered anew meanwhile.
    """
    same = Absence.objects.of(member.shop).kept()
    same = same.very_days(absence.member_id, absence.first_day, absence.last_day)
    if same.exclude(pk=absence.pk).exists():
        raise Refused(TWICE)
    if change(member, absence, at, removed=False):
        tell(member, PUT_BACK, absence, at=at)


def change(member, absence, at, *, removed):
    """Whether the days were taken out or put back just now; done already, nothing happens."""
    lock_shop(member.shop_id)
    speak_for(member, absence.member)
    rows = Absence.objects.filter(pk=absence.pk, removed_at__isnull=removed)
    return bool(rows.update(removed_at=at if removed else None))


def speak_for(member, person):
    """Refuse another's days."""
    if not may_speak_for(member, person):
        raise Refused(NOT_YOURS)


def tell(member, verb, absence, *, at):
    """A line of history; both days stand in full, so that it reads the same whenever they fall."""
    note = {"note": absence.note} if absence.note else {}
    first, last = (f"{day.day} {day:%B %Y}" for day in (absence.first_day, absence.last_day))
    label = f"{absence.member}, {first}" if first == last else f"{absence.member}, {first} to {last}"
    history.record(member, verb, absence, at=at, label=label, after=note)


def last_taken_out(shop):
    """The days that were taken out last, unless something else was done to days away since."""
    event = Event.objects.of(shop).of_kind([ENTERED, TAKEN_OUT, PUT_BACK]).order_by("-at", "-pk").first()
    if event is None or event.verb != TAKEN_OUT:
        return None
    rows = Absence.objects.of(shop).filter(key=event.target_key).exclude(removed_at=None)
    return rows.select_related("member").first()
