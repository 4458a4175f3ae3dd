"""Writes the log, and lets states and clocks follow from it."""

from projects import fold
from projects.models import EntryPicture, LogEntry, Step, Timer
from workshop import history


def write(member, kind, *, key, moment, project=None, step=None, batch=None, text="", detail=None, pictures=()):
    """One entry of the log with its photos. The caller's transaction holds everything that follows from it."""
    entry = LogEntry.objects.create(
        shop=member.shop, key=key, created_at=moment.received_at, created_by=member.user, kind=kind,
        project=project or (step.project if step else None), step=step, batch=batch,
        happened_at=moment.happened_at, raw_happened_at=moment.raw_happened_at, received_at=moment.received_at,
        member=member, text=text[:1000], search=text[:1000].casefold(), detail=detail or {},
    )
    for order, (picture, caption) in enumerate(pictures):
        EntryPicture.objects.create(
            shop=member.shop, created_at=moment.received_at, created_by=member.user,
            entry=entry, picture=picture, order=order, caption=caption,
        )
    history.record(member, f"logged {kind}", entry, at=moment.received_at, label=text or str(kind))
    return entry


def happened(entry):
    """An entry as the fold looks at it."""
    return fold.Happened(entry.kind, entry.happened_at, str(entry.key), entry.detail)


def start_clocks(entry):
    """The clocks that an entry's detail names, as rows."""
    return [
        Timer.objects.create(
            shop=entry.shop, created_at=entry.received_at, created_by=entry.created_by, entry=entry,
            step=entry.step, batch=entry.batch, kind=clock.kind, started_at=clock.started_at,
            early_at=clock.early_at, due_at=clock.due_at, closes_at=clock.closes_at, figures=clock.figures,
        )
        for clock in fold.clocks_of(happened(entry))
    ]


def follow(step):
    """Bring a step's state up to its log, whatever order the entries came in."""
    locked = Step.objects.select_for_update().get(pk=step.pk)
    state = fold.step_state([happened(entry) for entry in locked.entries.in_order()])
    locked.state, locked.started_at, locked.ended_at = state.state, state.started_at, state.ended_at
    locked.save(update_fields=["state", "started_at", "ended_at"])
    step.state, step.started_at, step.ended_at = state.state, state.started_at, state.ended_at
    return step
