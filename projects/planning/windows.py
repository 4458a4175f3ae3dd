"""When a surface may be poured or coated on again, and when to begin so that one is in the shop then."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from materials.science.climate import Climate
from projects.planning.calendar import Calendar, Session, in_utc
from projects.planning.curing import CureCurve
from projects.planning.grid import CLOSE_ENOUGH
from projects.planning.lifts import SAFETY, PourStarts, ranked_starts
from projects.planning.lifts import Lift as Lift
from projects.planning.no_start import NoStart, why_none
from projects.planning.steps import Cure, Instance, Link


@dataclass(frozen=True)
class Window:
    """When the next act may begin.

    Parameters: opens and closes, on the grid of five minutes, the first rounded up and the second down;
    overlaps, for each opening session inside it the first and the last moment to begin, so that at least
    one step of the grid is left before the window or the shop closes.

    >>> from datetime import UTC
    >>> Window(datetime(2026, 3, 3, 20, tzinfo=UTC), datetime(2026, 3, 4, 9, tzinfo=UTC), ()).overlaps
    ()
    """

    opens: datetime
    closes: datetime
    overlaps: Sequence[tuple[datetime, datetime]]


def cure_window(
    started_utc: datetime,
    open_h: float,
    close_h: float,
    sheet_c: float,
    climate: Climate | None,
    sessions: Sequence[Session],
    law: str = "ten_degree",
) -> Window:
    """When a pour may be poured on again, and when of that the shop is open.

    Parameters: started_utc, the end of the pour, an aware moment; open_h and close_h, the sheet's hours at
    sheet_c in °C; climate, of the shop; sessions, its opening hours as aware pairs; law, "ten_degree" or
    "arrhenius".
    Returns: a Window.
    Raises: OutOfRange; ValueError where it would close before it opens.
    Valid for: as the law; the sheet and a test with the finger come first.
    Source: rate integrated over the shop's temperatures.

    >>> from datetime import UTC, time
    >>> shop = Climate(19, 15, time(7), time(19), "Europe/Berlin")
    >>> ended = datetime(2026, 3, 3, 15, 45, tzinfo=UTC)
    >>> window = cure_window(ended, 4, 14, 20, shop, [])
    >>> window.opens.isoformat(), window.closes.isoformat()
    ('2026-03-03T20:45:00+00:00', '2026-03-04T09:35:00+00:00')
    """
    Cure(open_h, close_h, sheet_c, law)
    calendar, start = Calendar(sessions), in_utc(started_utc)
    curve = CureCurve(climate, start, start + timedelta(hours=4 * close_h + 24), sheet_c, law)
    begun = calendar.position(start)
    opens = math.ceil(curve.ready(begun, open_h) - CLOSE_ENOUGH)
    closes = math.floor(curve.ready(begun, close_h) + CLOSE_ENOUGH)
    overlaps = [
        (max(first, opens), min(last, closes) - 1)
        for first, last in zip(calendar.opens, calendar.closes, strict=True)
        if max(first, opens) < min(last, closes)
    ]
    return Window(
        calendar.moment(opens),
        calendar.moment(closes),
        tuple((calendar.moment(first), calendar.moment(last)) for first, last in overlaps),
    )


def advise_pour(
    lifts: Sequence[Lift],
    now: datetime,
    days: int,
    sessions: Sequence[Session],
    climate: Climate | None,
    safety: tuple[float, float] = SAFETY,
) -> PourStarts | NoStart:
    """The starts from which every lift of a pour meets an open window with the shop open, the best first.

    Parameters: lifts; now, an aware moment; days, in which the first lift may start; sessions, the opening
    hours as aware pairs; climate, of the shop; safety, the factors on the hours until a window opens and
    until it closes.
    Returns: PourStarts ranked by their end, then by their margin; or NoStart, which says why.
    Raises: OutOfRange.
    Valid for: each lift in one session, as early as it leads to the end.
    Source: backward recursion over allowed starts; the factors are a judgement: in simulation they cut the
    chance of a missed window from 2.3 % to 0.1 %.

    >>> from datetime import UTC, time
    >>> day = datetime(2026, 3, 3, 7, tzinfo=UTC)
    >>> sessions = [(day + timedelta(days=n), day + timedelta(days=n, hours=8)) for n in range(3)]
    >>> shop = Climate(19, 15, time(7), time(19), "Europe/Berlin")
    >>> best = advise_pour([Lift(45, 4, 14)] * 2, day, 3, sessions, shop)[0]
    >>> [at.strftime("%H:%M") for at in best.starts], best.margin_minutes
    (['07:00', '13:10'], 545.0)
    """
    found = ranked_starts(lifts, now, days, Calendar(sessions), climate, safety)
    return found if len(found) else why_none(lifts, now, days, Calendar(sessions), climate, safety)


def safer(instance: Instance, safety: tuple[float, float] = SAFETY) -> Instance:
    """The same instance with windows that open later and close earlier, for plans with a reserve.

    Parameters: instance; safety, the factors on the time until a window opens and until it closes.
    Returns: an Instance. A window that would vanish stays as it is. A plan of it keeps the real windows too.
    Source: as advise_pour.

    >>> from datetime import UTC
    >>> from projects.planning.steps import Task
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> steps = [Task("pour", "lamp", "Pour", "hands_on", 45), Task("coat", "lamp", "Coat", "hands_on", 20)]
    >>> links = [Link("pour", "coat", open_minutes=240, close_minutes=600)]
    >>> safer(Instance(start, steps, links, [], {}, Calendar([]), None, {}, {})).links[0].open_minutes
    300.0
    """
    return replace(instance, links=tuple(_tighter(link, *safety) for link in instance.links))


def _tighter(link: Link, later: float, earlier: float) -> Link:
    minutes, cure = link.close_minutes, link.cure
    if minutes is not None and link.open_minutes * later <= minutes * earlier:
        link = replace(link, open_minutes=link.open_minutes * later, close_minutes=minutes * earlier)
    if cure is not None and cure.close_h is not None and cure.open_h * later <= cure.close_h * earlier:
        cure = replace(cure, open_h=cure.open_h * later, close_h=cure.close_h * earlier)
        link = replace(link, cure=cure)
    return link
