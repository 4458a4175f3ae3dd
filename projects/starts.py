"""When to pour, so that every pour meets an open window with the shop open: the bridge to the advisor."""

from dataclasses import dataclass, field
from datetime import datetime, time, timedelta

from materials.models import Reading, Resin
from projects.check.facts import sessions
from projects.models import Timer
from projects.schedule.absent import alone_of

DAYS = 10
"""How many days ahead it looks."""
AFTER = timedelta(days=14)  # in which all pours that were begun find their end
READ_SINCE = timedelta(hours=12)  # an older reading is no longer the air in the shop
LONG_H = 24 * 14.0  # of a sheet that names no end of its window
SAFE, PLAIN = (1.25, 0.9), (1.0, 1.0)
MOST_RESINS = 8


@dataclass(frozen=True)
class Window:
    """When the next pour may follow, and from when to when somebody is there."""

    opens: datetime
    closes: datetime
    here: tuple = ()


@dataclass(frozen=True)
class Way:
    """One way to pour: each pour's moment and the windows between them."""

    starts: tuple
    finish: datetime
    margin_minutes: float | None
    windows: tuple
    minutes: float


@dataclass(frozen=True)
class Asked:
    """What becomes of a start at a moment that somebody asked about."""

    start: datetime
    open_then: bool
    window: Window | None
    way: Way | None
    """How all pours go from there; None where they don't."""


@dataclass(frozen=True)
class Starts:
    """All that the advisor says: the best ways, or why there is none and what would change it."""

    ways: tuple = ()
    asked: Asked | None = None
    why: str = ""
    helps: tuple = ()
    others: tuple = ()
    """Other resins of the shelf with which there is a way: (name, first pour)."""
    sessions: tuple = ()
    missing: str = ""
    """What the sheet must name before anything can be said."""


@dataclass(frozen=True)
class Plan:
    """What is asked: of which resin, how many pours of how many minutes, from when, how safe."""

    resin: object
    pours: int
    minutes: float
    since: datetime
    begin: datetime | None
    """The moment that is asked about, if any."""
    safety: tuple = SAFE
    until: datetime | None = field(default=None)
    """By when the first one must be in, where it goes onto one that was poured already."""


def starts_of(shop, plan):
    """The advisor's word on a plan."""
    from projects.planning.windows import advise_pour

    lifts = lifts_of(plan.resin, plan)
    if lifts is None:
        return Starts(missing="recoat")
    climate, open_hours = climate_of(shop, plan.since), sessions_of(shop, plan.since)
    found = advise_pour(lifts, plan.since, DAYS, open_hours, climate, plan.safety)
    ways = [way_of(lifts, start, open_hours, climate, plan) for start in best_of_each_day(found, shop, plan)]
    asked = asked_of(lifts, plan, found, open_hours, climate)
    if ways:
        return Starts(tuple(ways), asked, sessions=tuple(open_hours))
    return Starts(
        (),
        asked,
        why=found.why if not found else "",
        helps=tuple(found.helps) if not found else (),
        others=tuple(with_others(shop, plan, open_hours, climate)),
        sessions=tuple(open_hours),
    )


def lifts_of(resin, plan):
    """The pours as the advisor reads them; None where there are several and the sheet names no window."""
    from projects.planning.windows import Lift

    open_h = resin.recoat_open_h if resin else None
    if not open_h and plan.pours > 1:
        return None
    open_h = open_h or 1.0
    close_h = (resin.recoat_close_h if resin else None) or max(LONG_H, 2 * open_h)
    sheet_c = resin.recoat_c if resin else 20
    return [Lift(plan.minutes, open_h, max(close_h, open_h), sheet_c)] * plan.pours


def climate_of(shop, at):
    """The shop's day and night, corrected by what was read lately."""
    from materials.science.climate import Climate

    rows = Reading.objects.of(shop).kept().filter(kind=Reading.Kind.TEMPERATURE, taken_at__gt=at - READ_SINCE)
    read = tuple(rows.filter(taken_at__lte=at).order_by("taken_at").values_list("taken_at", "value"))
    return Climate(shop.day_c, shop.night_c, shop.day_from, shop.day_to, shop.zone, read)


def sessions_of(shop, since):
    """The opening hours of all the days that pours may fall on, less the days on which everybody is away."""
    from projects.planning.absences import without

    return without(sessions(shop, since, since + timedelta(days=DAYS) + AFTER), alone_of(shop, since))


def best_of_each_day(found, shop, plan):
    """The best start of each day, the best day first."""
    days = {}
    for start in found or ():
        if plan.until is None or start.starts[0] <= plan.until:
            days.setdefault(start.starts[0].astimezone(shop.tz).date(), start)
    return days.values()


def way_of(lifts, start, open_hours, climate, plan):
    """A start with the windows between its pours, as they are reckoned with."""
    windows = tuple(
        window_after(lift, at + timedelta(minutes=lift.minutes), open_hours, climate, plan.safety)
        for lift, at in zip(lifts, start.starts[:-1], strict=False)
    )
    return Way(tuple(start.starts), start.finish, start.margin_minutes, windows, plan.minutes)


def window_after(lift, ended, open_hours, climate, safety=PLAIN):
    """When a pour may be poured on, and when of that the shop is open."""
    from projects.planning.windows import cure_window

    later, earlier = safety
    open_h, close_h = lift.open_h * later, lift.close_h * earlier
    found = cure_window(ended, open_h, max(open_h, close_h), lift.sheet_c, climate, open_hours)
    return Window(found.opens, found.closes, tuple(found.overlaps))


def asked_of(lifts, plan, found, open_hours, climate):
    """What becomes of a start at the moment that was asked about, if one was."""
    if plan.begin is None:
        return None
    at, end = plan.begin, plan.begin + timedelta(minutes=plan.minutes)
    is_open = any(opened <= at and end <= close for opened, close in open_hours)
    window = window_after(lifts[0], end, open_hours, climate) if len(lifts) > 1 else None
    near = next((start for start in found or () if abs(start.starts[0] - at) < timedelta(minutes=5)), None)
    way = way_of(lifts, near, open_hours, climate, plan) if near and is_open else None
    return Asked(at, is_open, window, way)


def with_others(shop, plan, open_hours, climate):
    """Other casting resins of the shelf with which all pours find their windows, and the best first pour."""
    from dataclasses import replace

    from projects.planning.windows import advise_pour

    resins = Resin.objects.of(shop).filter(
        removed_at=None, use=Resin.Use.CASTING, recoat_open_h__isnull=False
    )
    for resin in resins.exclude(pk=plan.resin.pk).order_by("name")[:MOST_RESINS]:
        lifts = lifts_of(resin, replace(plan, resin=resin))
        found = advise_pour(lifts, plan.since, DAYS, open_hours, climate, plan.safety)
        if found:
            yield resin, found[0].starts[0]


def running_window(step):
    """The clock of the pour that lies in the mould already, if its window is still to be met."""
    return Timer.objects.running().filter(step=step, kind=Timer.Kind.RECOAT).last()


def moment_at(clock, now, tz):
    """The next moment at which the wall shows a time; now without one."""
    if clock is None:
        return now
    local = now.astimezone(tz)
    found = datetime.combine(local.date(), clock or time(0), tzinfo=tz)
    return found if found >= local - timedelta(minutes=1) else found + timedelta(days=1)
