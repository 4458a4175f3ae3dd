"""Sanding, session by session: started, paused, gone on with, stopped."""

from django.db import transaction

from materials import advice as shelf_advice
from projects import fold
from projects.actions import log
from projects.models import LogEntry, SandingSession
from workshop.refusals import Refused

TOO_LATE = {
    "pause": "This session rests already, or it was stopped.",
    "resume": "This session runs already, or it was stopped.",
    "stop": "This session was stopped already, or it began later than that.",
}


@transaction.atomic
def start(member, step, values, *, key, moment):
    """A session of one grade on one side begins; `values` holds grade, system, wet, machine, side, area_mm2.

    Raises Refused while another one goes on at that side, and for a grade that no table knows.
    """
    log.hold(step)
    side = SandingSession.Side(values["side"])
    going = SandingSession.objects.of(member.shop).going_on().filter(step=step, side=side).first()
    if going is not None:
        raise Refused(f"{going} is still going on. Stop it before you start another on the {side.label}.")
    grade = shelf_advice.grade(values["grade"], values["system"])
    if grade.problem:
        raise Refused(grade.problem)
    jump = jump_to(step, side, grade)
    cautions = says(grade, jump)
    entry = log.write(
        member,
        LogEntry.Kind.SAND,
        key=key,
        moment=moment,
        step=step,
        text=log.sentences(f"Sanding begun: {grade.name}, {side.label}", " ".join(cautions)),
        detail={
            "act": "start",
            "step": "began",
            "session": str(key),
            "grade": grade.name,
            "grain_um": grade.grain_um,
            "jump": jump and {"after": jump.before, "ratio": jump.ratio},
            "says": cautions,
            **log.reason_in(values),
        },
    )
    session = SandingSession.objects.create(
        shop=member.shop,
        key=key,
        created_at=moment.received_at,
        created_by=member.user,
        entry=entry,
        step=step,
        grade=str(grade.number),
        system=grade.system,
        wet=bool(values.get("wet")),
        machine=values.get("machine"),
        side=side,
        area_mm2=values.get("area_mm2"),
        started_at=moment.happened_at,
    )
    log.follow(step)
    log.under_way(step.project_id)
    return session


def last_on(step, side):
    """The last session on a side of this panel, whichever step it belonged to; None before the first."""
    sessions = SandingSession.objects.filter(step__project=step.project_id, side=side)
    return sessions.order_by("-started_at", "-pk").first()


def jump_to(step, side, grade):
    """How far it is from the last grade on a side to this one, where that is farther than usual."""
    before = last_on(step, side)
    return shelf_advice.grade_jump(before.grade_name, grade.name) if before else None


def says(grade, jump):
    """What is pointed out about a grade: that its size is not known, that it is a long way from the last."""
    found = []
    if grade.grain_um is None:
        found.append(f"No published size of the grains of {grade.name} was found.")
    if jump is not None:
        found.append(
            f"From {jump.before} to {grade.name} the grains get {jump.ratio:.1f} times finer in one step: "
            "scratches of the last grade may stay."
        )
    return found


@transaction.atomic
def pause(member, session, *, key, moment):
    """A session rests."""
    return tell(member, session, "pause", key=key, moment=moment)


@transaction.atomic
def resume(member, session, *, key, moment):
    """A session goes on."""
    return tell(member, session, "resume", key=key, moment=moment)


@transaction.atomic
def stop(member, session, values, *, key, moment):
    """A session ends; `values` holds discs, removed_mm, text and done."""
    log.hold(session.step)
    session.discs, session.removed_mm = values.get("discs"), values.get("removed_mm")
    session.save(update_fields=["discs", "removed_mm"])
    detail = {
        "step": "done" if values.get("done") else "began",
        "discs": session.discs,
        "removed_mm": session.removed_mm,
    }
    return tell(member, session, "stop", key=key, moment=moment, detail=detail, text=values.get("text"))


SAID = {"pause": "rests", "resume": "goes on", "stop": "done"}


def tell(member, session, act, *, key, moment, detail=None, text=""):
    """One more act of a session: its entry, then the session's times as the fold has them.

    Raises Refused where it would change nothing.
    """
    log.hold(session.step)
    before = happened_in(session)
    told = {"act": act, "session": str(session.key), **(detail or {})}
    after = fold.sanding_times([*before, fold.Happened("sand", moment.happened_at, str(key), told)])
    if after == fold.sanding_times(before):
        raise Refused(TOO_LATE[act])
    log.write(
        member,
        LogEntry.Kind.SAND,
        key=key,
        moment=moment,
        step=session.step,
        text=log.sentences(f"Sanding {SAID[act]}: {session}", text),
        detail=told,
    )
    keep_times(session, after)
    log.follow(session.step)
    return session


def happened_in(session):
    """The entries of a session, as the fold looks at them."""
    entries = LogEntry.objects.kept().filter(step=session.step_id, kind=LogEntry.Kind.SAND)
    return [log.happened(entry) for entry in entries if entry.detail.get("session") == str(session.key)]


def keep_times(session, times):
    """A session's row as its log says."""
    session.started_at, session.ended_at = times.started_at, times.ended_at
    session.pauses = [[begun.isoformat(), ended and ended.isoformat()] for begun, ended in times.pauses]
    session.save(update_fields=["started_at", "ended_at", "pauses"])
