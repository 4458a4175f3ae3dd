"""A clock that somebody sets by hand."""

from django.db import transaction

from projects.actions import log, on_step
from projects.models import LogEntry
from workshop.templatetags.figures import hours


@transaction.atomic
def set_clock(member, *, name, minutes, key, moment, project=None, step=None):
    """A clock with a name of its own, for a project or for the shop."""
    entry = log.write(
        member,
        LogEntry.Kind.TIMER,
        key=key,
        moment=moment,
        project=project,
        step=step,
        text=f"{name}: a clock of {hours(minutes)}",
        detail={"clocks": [on_step.clock("free", minutes, name=name)]},
    )
    return log.start_clocks(entry)[0]
