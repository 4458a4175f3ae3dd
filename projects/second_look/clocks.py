"""Too soon, too late, still wet: what clocks and windows say against an act."""

from projects.clocks import name_of, say_time
from projects.models import Step, Timer
from projects.second_look.objection import REASONS, Objection
from workshop.templatetags.figures import span

KIND = Timer.Kind
DRYING = {Step.Kind.CURE, Step.Kind.REST, Step.Kind.CLAMPED, Step.Kind.DRY}
"""Kinds of step whose wait hardens something."""
AFTER_THE_CURE = {
    Step.Kind.MARK, Step.Kind.REST, Step.Kind.FLATTEN, Step.Kind.TEST_CUT, Step.Kind.CUT, Step.Kind.DRY_FIT,
    Step.Kind.GLUE_UP, Step.Kind.LEVEL, Step.Kind.SAND, Step.Kind.COAT, Step.Kind.LIGHT, Step.Kind.PACK,
}  # fmt: skip
"""Kinds of step that work on what has to be hard by then."""
HARDENS = (KIND.DEMOULD, KIND.CLAMPED, KIND.COAT, KIND.WAIT)
TOO_SOON = {
    KIND.RECOAT: "The last pour takes another from {} on. Earlier the heat of both adds up.",
    KIND.TACK: "The last coat takes another from {} on.",
    KIND.COAT: "The last coat takes another from {} on.",
}
TOO_LATE = {
    KIND.RECOAT: "The window of the last pour closed {}. Nobody can sand between strips: test the bond.",
    KIND.TACK: "The window of the last coat closed {}. Scuff it first: grey pad or P320 to P400.",
    KIND.COAT: "The window of the last coat closed {}. Sand it lightly first.",
}
"""What to do when a window is missed: common practice, no source."""
WET = {
    KIND.TACK: (
        "seal coat still wet for {left}",
        "The seal coat can be handled from {due} on: {left} are left.",
        "Wet strips stick to combs and tape. Wait until it takes no fingerprint.",
    ),
    KIND.SEALANT: (
        "sealant dries for {left} more",
        "The mould’s sealant is dry {due}: {left} are left.",
        "A seam that gives way is hard to stop once resin runs. Wait, and try the mould empty.",
    ),
}
"""What is said of something that has not dried: for the log, on the page, and what to do."""
WHILE_IT_HARDENS = {
    KIND.DEMOULD: "Resin that is not cured smears, bends, clogs paper; its dust harms. Try an edge first.",
    KIND.CLAMPED: "A joint that moves before its glue holds opens again. Try what was squeezed out.",
    KIND.COAT: "A coat that is not dry tears, and shuts in what lies below. Wait for it.",
    KIND.WAIT: "What works on it now may undo the wait. Look whether it is over, and answer its clock then.",
}
"""What may happen to what has not hardened: common practice, no source."""


def window(timers, at, tz):
    """Another coat or pour before the window of the last one opens, or after it has closed."""
    timer = timers[-1] if timers else None
    if timer is None:
        return None
    kind = KIND(timer.kind)
    if at < timer.due_at:
        left, said = left_of(timer, at), TOO_SOON[kind].format(say_time(timer.due_at, at, tz))
        early = f"{left} before the window opens"
        return Objection(f"{kind}_soon", early, said, f"Wait: {left} are left.", REASONS["soon"])
    if timer.closes_at and at > timer.closes_at:
        said = TOO_LATE[kind].format(say_time(timer.closes_at, at, tz))
        return Objection(f"{kind}_late", "after its window closed", said, reasons=REASONS["missed"])
    return None


def left_of(timer, at):
    """About how long a clock still runs."""
    return span(max(1, (timer.due_at - at).total_seconds() / 60))


def still_wet(kind, timers, at, tz):
    """Something goes against a seal coat or a mould's sealant before it has dried."""
    wet = [timer for timer in timers if timer.kind == kind and at < timer.due_at]
    if not wet:
        return None
    said = {"left": left_of(wet[-1], at), "due": say_time(wet[-1].due_at, at, tz)}
    name, sentence, remedy = WET[kind]
    return Objection(f"{kind}_wet", name.format(**said), sentence.format(**said), remedy, REASONS["wet"])


def seal_missed(
    timers, at, tz, remedy="Scuff it first, grey pad or P320 to P400: later nobody can reach it."
):
    """Something goes on a seal coat whose window has closed. The remedy is common practice, no source."""
    late = [timer for timer in timers if timer.kind == KIND.TACK and timer.closes_at and at > timer.closes_at]
    if not late:
        return None
    closed = say_time(late[-1].closes_at, at, tz)
    sentence = f"The seal coat’s window closed {closed}: what comes on it now holds less."
    return Objection("seal_missed", "seal coat’s window missed", sentence, remedy, REASONS["missed"])


def still_hardening(timer, at, tz):
    """Work on something whose cure, clamps, coat or rest still runs."""
    if timer.kind not in HARDENS or at >= timer.due_at:
        return None
    left, name = left_of(timer, at), name_of(timer)
    return Objection(
        f"clock_{timer.pk}",
        f"{name}, {left} left",
        f"{name}: {left} are left, until {say_time(timer.due_at, at, tz)}.",
        WHILE_IT_HARDENS[KIND(timer.kind)],
        REASONS["hardens"],
    )


def hardens_for(step, timers):
    """The clocks that a step has to wait for: not those of what comes after it."""
    return [
        timer
        for timer in timers
        if timer.kind in HARDENS
        and (timer.kind != KIND.WAIT or (timer.step.kind in DRYING and timer.step.position < step.position))
    ]


def early_out(timers, at, tz):
    """A block out of its mould before its clock says that it may be hard."""
    running = [timer for timer in timers if timer.kind == KIND.DEMOULD and at < timer.due_at]
    if not running:
        return None
    left = left_of(running[-1], at)
    return Objection(
        "early",
        f"{left} before its clock",
        f"By its clock it leaves the mould {say_time(running[-1].due_at, at, tz)}: {left} are left.",
        "Try an edge with a nail first. Soft resin bends, tears at the mould and harms the skin.",
        REASONS["early"],
    )
