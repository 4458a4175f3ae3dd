"""The last check of a block's pour as a job sheet prints it: plain values, to be printed again."""

from projects.check import asked, standing, told
from projects.models import Step


def check_of(block):
    """What the newest check of a block's pours found, with what was overruled; None without one."""
    steps = Step.objects.kept().filter(block=block, kind=Step.Kind.POUR).select_related("shop").in_order()
    for step in steps:
        last = asked.last_check(step)
        if last is not None:
            return as_printed(step, last)
    return None


def as_printed(step, last):
    """A kept check in words."""
    rows = standing.kept_rows(step, last)
    verdict = told.verdict_of(rows)
    return {
        "at": last.happened_at.isoformat(),
        "who": last.member.name,
        "first": verdict.first,
        "rest": verdict.rest,
        "rows": [row_as_printed(row) for row in rows if row.level != "clear" and row.code != told.MISSING],
        "missing": [row.remedy for row in rows if row.code == told.MISSING],
        "fine": [row.name for row in rows if row.level == "clear"],
        "below": last.detail.get("below", []),
        "picture": last.detail.get("picture"),
    }


def row_as_printed(row):
    """One finding as plain values; a stop that was overruled says by whom and why."""
    over = row.overruled
    return {
        **{
            name: getattr(row, name)
            for name in ("level", "name", "number", "unit", "against", "reason", "remedy")
        },
        "overruled": f"{over.entry.member.name}: {over.reason}" if over else "",
    }
