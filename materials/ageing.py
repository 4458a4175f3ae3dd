"""What has to be looked after: past its date, soon to be, open too long, running low."""

from dataclasses import dataclass
from datetime import date

from materials.models import Lot, Resin
from materials.months import months_from

MOST = 40


ORDER = {"past": 0, "open": 1, "soon": 2}


@dataclass(frozen=True)
class Aged:
    """A lot to look after: `state` is past, soon or open; `since` is the day that says so."""

    lot: Lot
    state: str
    since: date
    days: int
    """Since that day, or until it."""


def months_open(shop):
    """How many months opened bottles of a shop's resins keep: {months} of each sheet that says it."""
    sheets = Resin.objects.of(shop).exclude(shelf_months_open=None)
    return set(sheets.values_list("shelf_months_open", flat=True))


def ageing(shop, today):
    """What is past its date, will be within thirty days, or has been open longer than its sheet says.

    What is used up is no matter. The oldest in front, and no more than a page would show.
    """
    old = Lot.objects.of(shop).here().ageing(today, months_open(shop)).to_use_first()
    some = [row["pk"] for row in old.with_something_left()[:MOST]]
    rows = [aged(lot, today) for lot in Lot.objects.filter(pk__in=some).with_on_hand().with_names()]
    return sorted(filter(None, rows), key=lambda row: (ORDER[row.state], row.since))


def aged(lot, today):
    """Why a lot has to be looked after: its date first, then how long it has been open; None for neither."""
    if lot.use_by and lot.use_by < today:
        return Aged(lot, "past", lot.use_by, (today - lot.use_by).days)
    keeps = open_until(lot)
    if keeps and keeps < today:
        return Aged(lot, "open", lot.opened_on, (today - lot.opened_on).days)
    return Aged(lot, "soon", lot.use_by, (lot.use_by - today).days) if lot.use_by else None


def open_until(lot):
    """Until when an opened bottle keeps by its resin's sheet; None where that is not known."""
    return sheet_allows(lot, lot.opened_on) if lot.opened_on else None


def sheet_allows(lot, opened_on):
    """Until when a bottle that is opened on a day keeps by its resin's sheet; None where it doesn't say."""
    months = lot.resin.shelf_months_open if lot.kind == Lot.Kind.RESIN else None
    return months_from(opened_on, months) if months else None


def keeps_until(lot):
    """The last day of a lot: its label's, or what its sheet says of opened and of closed bottles."""
    of_sheet = lot.kind == Lot.Kind.RESIN
    return last_day(
        lot.use_by,
        lot.opened_on,
        lot.received_on,
        lot.resin.shelf_months_open if of_sheet else None,
        lot.resin.shelf_months_closed if of_sheet else None,
    )


def last_day(use_by, opened_on, received_on, months_open, months_closed):
    """The last day of a lot from its dates and its sheet's months; None where nothing says so.

    The months of a closed bottle count where its label says no date.
    """
    days = [use_by] if use_by else []
    if opened_on and months_open:
        days.append(months_from(opened_on, months_open))
    if not use_by and months_closed:
        days.append(months_from(received_on, months_closed))
    return min(days, default=None)


def is_too_old(lot, today):
    """Whether a lot is past its last day."""
    day = keeps_until(lot)
    return day is not None and day < today


def to_use(lots, today):
    """Lots in the order of use: as they were given, but the too old last, the freshest of them first."""

    def days_over(lot):
        day = keeps_until(lot)
        return max((today - day).days, 0) if day else 0

    return sorted(lots, key=days_over)


def proposed_use_by(lot, opened_on):
    """Until when a lot keeps once it is opened: its own date or the sheet's, whichever comes first."""
    return min(filter(None, (lot.use_by, sheet_allows(lot, opened_on))), default=None)


def running_low(shop):
    """Tape and the like of which there is little or none, and nowhere enough; what is gone in front."""
    lots = Lot.objects.of(shop).here().running_low().with_names()
    return list(lots.order_by("level", "search", "pk")[:MOST])
