"""What the bench says once more before an act: too soon, too late, a slip of the finger. Never a refusal."""

from projects.clocks import say_time
from projects.models import Timer

MANY_TIMES = 2  # of what is wanted: more likely a slip than a wish
CLEARLY_LESS = 0.9  # of what the mould wants: then another pour is to come, else it is a matter of the scale

TOO_SOON = {
    Timer.Kind.RECOAT: "The last pour takes another from {} on. Earlier the heat of both adds up.",
    Timer.Kind.TACK: "The last coat takes another from {} on.",
    Timer.Kind.COAT: "The last coat takes another from {} on.",
}
TOO_LATE = {
    Timer.Kind.RECOAT: (
        "The window of the last pour closed {}. Nobody can sand between strips: test the bond."
    ),
    Timer.Kind.TACK: "The window of the last coat closed {}. Scuff it first: grey pad or P320 to P400.",
    Timer.Kind.COAT: "The window of the last coat closed {}. Sand it lightly first.",
}
"""What to do when a window is missed: common practice, no source."""


def window_says(step, now, tz, kind=Timer.Kind.RECOAT):
    """What the running window of the last act says to another one now; empty when it may go on."""
    running = Timer.objects.running().filter(kind=kind)
    of = {"step__project": step.project_id} if kind == Timer.Kind.COAT else {"step": step}
    timer = running.filter(**of).last()
    if timer is None:
        return ""
    if now < timer.due_at:
        return TOO_SOON[kind].format(say_time(timer.due_at, now, tz))
    if timer.closes_at and now > timer.closes_at:
        return TOO_LATE[kind].format(say_time(timer.closes_at, now, tz))
    return ""


def slips(a_g, lot, wanted_a_g):
    """What looks like a slip of the finger or the wrong bottle in the A that was typed."""
    if a_g is None:
        return {}
    times = a_g / wanted_a_g
    return {
        "times_wanted": times if times >= MANY_TIMES else None,
        "bottle_holds": lot.on_hand if lot and a_g > lot.on_hand else None,
    }


def more_to_come(wanted_g, poured_g):
    """Whether the mould clearly wants another pour after this one."""
    return poured_g < CLEARLY_LESS * wanted_g
