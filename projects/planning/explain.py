"""Why a plan does not keep a window, in words a maker can act on."""

from datetime import datetime
from zoneinfo import ZoneInfo

from projects.planning.plan import Plan
from projects.planning.steps import Link

CLOSED_OFFERS = "shift {before}, a cooler shop or a slower resin, one evening open, or let it cure and sand"
HARD_OFFERS = (
    "pour in one lift, a slower resin, one evening open, a cooler shop, or someone who stays; "
    "inside a filled stack nothing can be sanded"
)


def why_not(link: Link, plan: Plan) -> str:
    """What stands between two steps in a plan.

    Parameters: link; plan, made of an instance that has it.
    Returns: sentences with times on the shop's wall: when the first ends, when the second must start, when
    the plan can start it, and what would help. Where the window is kept, when.

    >>> from datetime import UTC
    >>> at = datetime(2026, 3, 3, 17, tzinfo=UTC)
    >>> link = Link("a", "b", 180, 630, label="recoat window")
    >>> needed, closed = datetime(2026, 3, 4, 7, tzinfo=UTC), datetime(2026, 3, 4, 3, 30, tzinfo=UTC)
    >>> names = {"a": "pour 1", "b": "pour 2"}
    >>> opened = {("a", "b"): datetime(2026, 3, 3, 20, tzinfo=UTC)}
    >>> plan = Plan({"a": at, "b": needed}, {"a": at, "b": needed}, ((link, needed, closed),), (), 0, {},
    ...             opened=opened, names=names, zone="Europe/Berlin")
    >>> print(why_not(link, plan).split(" So the plan")[0])
    pour 1 ends Tue 03 Mar 18:00; pour 2 must start Tue 21:00 – Wed 04:30 (recoat window). The earliest \
the plan can do it is Wed 08:00, 210 min after the window closes.
    """
    for hard, kept in ((False, plan.relaxed), (True, plan.blocked)):
        for told, needed, closes in kept:
            if (told.before, told.after) == (link.before, link.after):
                return _missed(link, plan, needed, closes, hard)
    return _no_window(link, plan)


def _name(plan: Plan, step: str) -> str:
    return plan.names.get(step, step)


def _wall(plan: Plan, moment: datetime, form: str = "%a %H:%M") -> str:
    return moment.astimezone(ZoneInfo(plan.zone)).strftime(form)


def _missed(link: Link, plan: Plan, needed: datetime, closes: datetime, hard: bool) -> str:
    before, after = _name(plan, link.before), _name(plan, link.after)
    ends, opens = plan.ends.get(link.before), plan.opened.get((link.before, link.after))
    ended = f"{before} ends {_wall(plan, ends, '%a %d %b %H:%M')}" if ends else f"{before} has no place"
    opened = f"{_wall(plan, opens)} – " if opens and opens <= closes else "by "
    label = f" ({link.label})" if link.label else ""
    minutes = (needed - closes).total_seconds() / 60
    offers = HARD_OFFERS if hard else CLOSED_OFFERS.format(before=before)
    sentences = [
        f"{ended}; {after} must start {opened}{_wall(plan, closes)}{label}.",
        f"The earliest the plan can do it is {_wall(plan, needed)}, {minutes:g} min after the window closes.",
        f"So {after} has no place." if hard else f"So the plan lets it cure and sands before {after}.",
        f"This would help: {offers}.",
    ]
    return " ".join(sentences)


def _no_window(link: Link, plan: Plan) -> str:
    """For a link that the plan keeps, or that leads to a step without a place."""
    before, after = _name(plan, link.before), _name(plan, link.after)
    for step, name in ((link.before, before), (link.after, after)):
        if step in plan.unplaced:
            return f"{name} has no place: {plan.unplaced[step]}."
    start, ends = plan.starts.get(link.after), plan.ends.get(link.before)
    if start is None or ends is None:
        return f"{after} has no place: something before it has none."
    ended = _wall(plan, ends, "%a %d %b %H:%M")
    return f"Nothing stands against it: {before} ends {ended} and {after} starts {_wall(plan, start)}."
