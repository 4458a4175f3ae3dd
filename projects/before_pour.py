"""What had gone before a pour, beside its cups: the seal coat it came on, and stops that were overruled."""

from django.db.models import Prefetch

from projects.check import told
from projects.check.coat import by_clock, hours_between
from projects.models import LogEntry, Overrule, Timer


def coats_of(**whose):
    """The seal coats of a shop or a project, the oldest in front, each with the clock that it started."""
    clocks = Prefetch("timers", Timer.objects.filter(kind=Timer.Kind.TACK))
    coats = LogEntry.objects.kept().filter(kind=LogEntry.Kind.SEAL, **whose)
    return coats.select_related("step").prefetch_related(clocks).order_by("happened_at", "pk")


def coats_by_project(shop):
    """All seal coats of a shop by the project they are in."""
    found = {}
    for entry in coats_of(shop=shop):
        found.setdefault(entry.project_id, []).append(entry)
    return found


def coat_under(pour, coats):
    """The seal coat that a pour came on, of those of its project, as plain hours; None without one.

    `age_h` at the pour; `opens_h` when it was dry and `closes_h` until when it took a pour, by its clock.
    """
    under = [coat for coat in coats if coat.happened_at <= pour.started_at and is_on(coat, pour.block_id)]
    if not under:
        return None
    coat = under[-1]
    clock = next(iter(coat.timers.all()), None)
    opens_h, closes_h = by_clock(coat, clock) if clock else (None, None)
    return {
        "coat": coat.detail.get("coat"),
        "sealed_at": coat.happened_at.isoformat(),
        "age_h": hours_between(coat.happened_at, pour.started_at),
        "opens_h": opens_h,
        "closes_h": closes_h,
    }


def is_on(coat, block):
    """Whether a seal coat is on the strips of a block; one at a step of no block is on all."""
    return coat.step is None or coat.step.block_id in (None, block)


def overruled_before(pour):
    """What stood against a pour or what led to it and was done all the same, in the order it happened.

    Each with its `code` where it was a stop of the check, its `name`, `why`, `who` and `at`; of a stop that
    was overruled more than once the newest.
    """
    step, until = pour.entry.step, pour.started_at
    stops = Overrule.objects.filter(step=step, entry__removed_at=None, entry__happened_at__lte=until)
    newest = {stop.code: stop for stop in stops.select_related("entry__member").order_by("created_at", "pk")}
    rows = [row_of(stop.entry, name_of(code), stop.reason, code) for code, stop in newest.items()]
    acts = LogEntry.objects.around(step).done_all_the_same().filter(happened_at__lte=until)
    for entry in acts:
        said = entry.detail["all_the_same"]
        rows += [row_of(entry, name, said["why"]) for name in said["against"]]
    return sorted(rows, key=lambda row: row["at"])


def name_of(code):
    """What a stop of the check is called, within a sentence."""
    name = told.NAMES[code][2] if code in told.NAMES else code
    return name[:1].lower() + name[1:]


def row_of(entry, name, why, code=""):
    """One of them as plain values."""
    at = entry.happened_at.isoformat()
    return {"code": code, "name": name, "why": why, "who": entry.member.name, "at": at}
