"""How the last check of a step stands: what it said, what was overruled since, and what is still open."""

from dataclasses import dataclass, field
from datetime import datetime

from projects.check import asked, told
from projects.models import Step


@dataclass(frozen=True)
class Standing:
    """The last check in one line; without one, `at` is None."""

    at: datetime | None = None
    who: str = ""
    level: str = "caution"
    rest: str = ""
    open_stops: tuple = field(default=())
    """Names of the stops that nobody overruled, by code."""
    is_past: bool = False
    """Whether the step is over, so that what the check said is told as it was then."""

    @property
    def names(self):
        """The open stops as one list of words."""
        return ", ".join(name.lower() for _, name in self.open_stops)


def standing_of(step):
    """The last check of a step that wants one; None for other steps."""
    if step.kind not in asked.CHECKED:
        return None
    last, is_past = asked.last_check(step), step.state in (Step.State.DONE, Step.State.SKIPPED)
    if last is None:
        return Standing(is_past=is_past)
    rows = kept_rows(step, last)
    verdict = told.verdict_of(rows)
    stops = tuple((row.code, row.name) for row in rows if row.level == "stop" and row.overruled is None)
    return Standing(last.happened_at, last.member.name, verdict.level, verdict.rest, stops, is_past)


def kept_rows(step, last):
    """The findings of a kept check as rows, with what was overruled since."""
    overrules = step.overrules.select_related("entry__member").order_by("created_at")
    return told.rows_of(told.findings_of(last.detail["findings"]), step.shop.units, overrules)
