"""Running clocks follow what the thermometer says: their rows are brought up to acts and readings."""

from datetime import datetime

from django.db.models import Q

from materials.models import Reading
from projects import fold, moving
from projects.models import Timer


def follow_reading(shop, project, since):
    """The clocks that a reading from that moment on may have moved: of its project, or of the whole shop.

    One that was over by then had used up all its share, so that no later reading says anything about it.
    """
    running = Q(settled_at=None) | Q(settled_at__gt=since)
    left = Q(due_at__gt=since) | Q(closes_at__gt=since)
    found = Timer.objects.of(shop).filter(running, left, law__in=moving.FOLLOWS)
    follow(found.filter(entry__project=project) if project else found)


def follow(timers):
    """Bring clocks up to the readings, whatever order they came in; rows that stay as they are cost no write.

    A clock that was answered counts no reading after its answer.
    """
    rows = list(timers.select_related("entry"))
    if not rows:
        return
    read = told(readings_for(rows))
    for timer in rows:
        clock, moves = clock_of(timer, [warmth for project, warmth in read if counts(timer, project, warmth)])
        store(timer, clock, moves)


def warmths_of(timer):
    """The temperatures that count for one clock, up to its end."""
    read = readings_for([timer]).filter(taken_at__lt=max(timer.due_at, timer.closes_at or timer.due_at))
    return [warmth for project, warmth in told(read) if counts(timer, project, warmth)]


def readings_for(timers):
    """The readings of temperature since the first of these clocks began."""
    since = min(oldest(timer) for timer in timers)
    rows = Reading.objects.of(timers[0].shop).kept()
    return rows.filter(kind=Reading.Kind.TEMPERATURE, taken_at__gt=since)


def told(rows):
    """Readings in order, each with its project."""
    rows = rows.order_by("taken_at", "key").values_list(
        "taken_at", "value", "member__name", "entries__project"
    )
    return [(project, moving.Warmth(at, value, who)) for at, value, who, project in rows]


def oldest(timer):
    """When the first cure began on which a clock rests."""
    below = [datetime.fromisoformat(each["started_at"]) for each in timer.figures.get("below", [])]
    return min([timer.started_at, *below])


def counts(timer, project, warmth):
    """Whether a reading says something about a clock: of its project or the shop's, and before its answer."""
    here = project is None or project == timer.entry.project_id
    return here and (timer.settled_at is None or warmth.at < timer.settled_at)


def clock_of(timer, warmths):
    """The clock of a row as the fold has it, and its moves."""
    entry = timer.entry
    happened = fold.Happened(entry.kind, entry.happened_at, str(entry.key), entry.detail)
    found = moving.clocks_of(happened, warmths)
    return next((clock, moves) for clock, moves in found if clock.kind == timer.kind)


def store(timer, clock, moves):
    """A clock's row as the fold has it."""
    figures = {**clock.figures, **({"moves": [moving.kept(move) for move in moves]} if moves else {})}
    now = {
        "early_at": clock.early_at, "due_at": clock.due_at, "closes_at": clock.closes_at, "figures": figures,
    }  # fmt: skip
    news = [name for name, value in now.items() if getattr(timer, name) != value]
    for name in news:
        setattr(timer, name, now[name])
    if news:
        timer.save(update_fields=news)
