"""Lines of the ledger, each one transaction. It only grows."""

from django.db import transaction
from django.db.models import Sum
from django.db.models.functions import Coalesce

from materials.models import Lot, Movement
from workshop import history
from workshop.refusals import Refused
from workshop.units import say


class Short(Refused):
    """The lot holds less than was asked for."""


class TooLittle(Refused):
    """Less than a line of the ledger can hold."""


class AlreadyReversed(Refused):
    """The line was taken back before."""


@transaction.atomic
def draw_at_shelf(member, lot, amount, *, at, kind=Movement.Kind.USE, why=""):
    """Take an amount out of a lot; raises Short when it holds less.

    Two people drawing the last of it: the lot's row is locked before the sum is taken, so the
    second sees what the first has left.
    """
    locked = Lot.objects.select_for_update().get(pk=lot.pk)
    held = on_hand_thousandths(locked)
    wanted = some_thousandths(amount)
    if wanted > held:
        raise Short(short_sentence(member.shop, locked, held, amount))
    return write_line(member, locked, kind, -wanted, at=at, why=why)


def short_sentence(shop, lot, held, amount):
    """Why a draw at the shelf was refused, and the way on."""
    left, asked = (say(value, lot.quantity_kind, shop.units) for value in (max(held, 0) / 1000, amount))
    way_on = "Take less or another one, or count it if there is more."
    return f"{lot.code} holds {left}, {asked} were wanted. {way_on}"


@transaction.atomic
def draw_at_bench(member, lot, amount, *, at, happened_at, act_key, why):
    """What went into a cup. It has happened, so it is stored even when the ledger falls below nothing."""
    locked = Lot.objects.select_for_update().get(pk=lot.pk)
    if locked.opened_on is None:
        locked.opened_on = happened_at.astimezone(member.shop.tz).date()
        locked.save(update_fields=["opened_on"])
    return write_line(
        member,
        locked,
        Movement.Kind.USE,
        -some_thousandths(amount),
        at=at,
        happened_at=happened_at,
        act_key=act_key,
        why=why,
    )


@transaction.atomic
def count(member, lot, found, *, at, why=""):
    """Somebody looked: the ledger gets the difference, so that its sum is what is there."""
    locked = Lot.objects.select_for_update().get(pk=lot.pk)
    difference = to_thousandths(found) - on_hand_thousandths(locked)
    return write_line(member, locked, Movement.Kind.COUNT, difference, at=at, why=why)


@transaction.atomic
def reverse(member, movement, *, at, why=""):
    """Take a line back by a second one.

    Raises AlreadyReversed the second time, and Short when what came in has been used since.
    """
    lot = Lot.objects.select_for_update().get(pk=movement.lot_id)
    if Movement.objects.filter(reverses=movement).exists() or movement.kind == Movement.Kind.REVERSE:
        raise AlreadyReversed("This line was taken back before.")
    if movement.thousandths == 0:
        raise AlreadyReversed("This count changed nothing, so there is nothing to take back.")
    held = on_hand_thousandths(lot)
    if movement.thousandths > 0 and held < movement.thousandths:
        left, added = (
            say(value / 1000, lot.quantity_kind, member.shop.units)
            for value in (max(held, 0), movement.thousandths)
        )
        gone = f"This line added {added}, and {lot.code} holds {left}: the rest was used."
        raise Short(f"{gone} Count what is there instead.")
    return write_line(
        member, lot, Movement.Kind.REVERSE, -movement.thousandths, at=at, why=why, reverses=movement
    )


def write_line(member, lot, kind, thousandths, *, at, happened_at=None, act_key=None, why="", reverses=None):
    """One line of a ledger and its line of history. The caller holds the lot's lock."""
    line = Movement.objects.create(
        shop_id=lot.shop_id,
        created_at=at,
        created_by=member.user,
        lot=lot,
        kind=kind,
        thousandths=thousandths,
        happened_at=happened_at or at,
        act_key=act_key,
        why=why,
        reverses=reverses,
    )
    label = f"{lot.code}: {line.get_kind_display()}"
    history.record(member, str(kind), lot, at=at, label=label, after={"thousandths": thousandths}, why=why)
    return line


def on_hand_thousandths(lot):
    """The sum of a lot's ledger."""
    return lot.movements.aggregate(held=Coalesce(Sum("thousandths"), 0))["held"]


def to_thousandths(amount):
    """An amount in the lot's unit as the ledger keeps it."""
    return round(amount * 1000)


def some_thousandths(amount):
    """An amount that came in or went out; raises TooLittle for less than the ledger can hold."""
    thousandths = to_thousandths(amount)
    if thousandths < 1:
        raise TooLittle("This is less than a thousandth; nothing was written.")
    return thousandths
