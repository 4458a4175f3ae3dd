"""What stands against an act at the bench: too soon, too late, too deep, a slip. Never a refusal.

Each function takes rows, what was typed and the moment, and asks nobody; which of them belong to which act
stands in `against.py`. That the maker's data sheet comes first is said once, where they are shown.
"""

from dataclasses import dataclass

from projects.clocks import name_of, say_time
from projects.models import Step, Timer
from workshop.several import say_several
from workshop.templatetags.figures import span
from workshop.units import digits, say

KIND = Timer.Kind
SHORT_NAMED = 4  # of lines of a shelf list, that a sentence can still be read
MANY_TIMES = 2  # of what is wanted: more likely a slip than a wish
CLEARLY_LESS = 0.9  # of what the mould wants: then another pour is to come, else it is a matter of the scale
DEEPER_TIMES = 1.5  # of what is planned: more likely a slip (130 for 13) than a wish
CUPS_HOLD = 3  # times what the cups make: no ruler in a mould is that far off (a judgement)
TOP_UP_MM = 2.0  # what resin may sink by, so that a little more goes on a full mould; from memory
A_DIGIT = 8  # times as much or as little: more likely a digit or a point too many than a new plan
FAR_OFF = 0.3  # of what is planned: a block that far off was measured or typed wrong
ALMOST_SQUARE = 0.05  # of length and width together: so little off, nothing was swapped
SAME_MM = 0.05  # what nobody can measure at a pour: 1.969 in are 50 mm
STRIP_TIMES = 2  # times a strip as planned, or a half of it: no planer is that far off (a judgement)
WET_WOOD_PERCENT = 30  # about where cell walls are full and meters with pins say little; from memory
DRYING = {Step.Kind.CURE, Step.Kind.REST, Step.Kind.CLAMPED, Step.Kind.DRY}
"""Kinds of step whose wait hardens something."""
AFTER_THE_CURE = {
    Step.Kind.MARK, Step.Kind.REST, Step.Kind.FLATTEN, Step.Kind.TEST_CUT, Step.Kind.CUT, Step.Kind.DRY_FIT,
    Step.Kind.GLUE_UP, Step.Kind.LEVEL, Step.Kind.SAND, Step.Kind.COAT, Step.Kind.LIGHT, Step.Kind.PACK,
}  # fmt: skip
"""Kinds of step that work on what has to be hard by then."""
HARDENS = (KIND.DEMOULD, KIND.CLAMPED, KIND.COAT, KIND.WAIT)
CASTING = "It is a test casting"
REASONS = {
    "wet": ("It is dry to the touch", CASTING),
    "missed": ("It was scuffed and wiped", "It is still tacky", CASTING),
    "soon": ("It is firm to the touch", CASTING),
    "deep": ("This resin ran cooler in a cup test", CASTING),
    "cup": ("Mixed so on purpose", "It tops the mould up", CASTING),
    "slip": ("The mould is deeper than planned", "More was poured on purpose"),
    "warmth": ("It is being warmed or cooled now", CASTING),
    "little": ("Another cup went in too", "Measured in the mould"),
    "ratio": (CASTING, "It is thrown away afterwards"),
    "empty": ("The pour was not written down", "It came from another mould"),
    "early": ("It is hard: tried at an edge", "It has to come out: a leak, or heat"),
    "measures": ("It was measured twice", "It was built differently"),
    "hardens": ("It is hard: tried at an edge", "It is about another part"),
    "unticked": ("They come later", "Laid out without the map"),
    "short": ("It is ordered", "It is here, and goes onto the shelf next"),
    "digit": ("It is planned anew",),
    "strip": ("Measured twice", "It is no strip"),
    "moist": ("It is fresh wood", "Measured twice"),
    "changed": ("It was typed wrong before", "It was built differently"),
}
"""The usual reasons for doing it all the same, by what stands against it; words can follow."""
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


@dataclass(frozen=True)
class Objection:
    """What stands against an act: how log and sheet call it, the sentence with its figures, what to do."""

    code: str
    name: str
    sentence: str
    remedy: str = ""
    reasons: tuple[str, ...] = ()
    of_check: str = ""
    """The code of the check's stop that it stands for; such a one is overruled in its own entry."""

    @property
    def said(self):
        """All of it on one line."""
        return f"{self.sentence} {self.remedy}".strip()


def found(*objections):
    """Those of several objections that there are."""
    return [each for each in objections if each]


# --- windows and clocks ---


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


# --- a cup and a pour ---


def slips(a_g, lot, wanted_a_g):
    """What looks like a slip of the finger or the wrong bottle in the A that was typed."""
    if a_g is None:
        return {}
    times = a_g / wanted_a_g
    return {
        "times_wanted": times if times >= MANY_TIMES else None,
        "bottle_holds": lot.on_hand if lot and a_g > lot.on_hand else None,
    }


def cup_slip(a_g, wanted_a_g, system):
    """Far more or far less A in a cup than is wanted: 1120 for 112. A bigger cup alone is a wish."""
    if a_g is None or not wanted_a_g or wanted_a_g / A_DIGIT < a_g < A_DIGIT * wanted_a_g:
        return None
    typed, wanted, much = say(a_g, "mass", system), say(wanted_a_g, "mass", system), a_g > wanted_a_g
    return Objection(
        "cup_slip",
        f"{typed} of A, {wanted} wanted",
        f"{typed} of A is far {'more' if much else 'less'} than the {wanted} wanted for this cup.",
        "Look at the scale again. A big cup gets hot and sets fast." if much else "Look at the scale again.",
        REASONS["cup"],
    )


def more_to_come(wanted_g, poured_g):
    """Whether the mould clearly wants another pour after this one."""
    return poured_g < CLEARLY_LESS * wanted_g


def off_warmth(resin, temp_c, system, *, what="shop"):
    """Shop or mould colder or warmer than the resin's sheet allows; nothing where either is not known."""
    if temp_c is None:
        return None
    cold = resin.min_c is not None and temp_c < resin.min_c
    warm = resin.max_c is not None and temp_c > resin.max_c
    if not cold and not warm:
        return None
    said, limit = (
        say(value, "temperature", system) for value in (temp_c, resin.min_c if cold else resin.max_c)
    )
    return Objection(
        f"warmth_{what}",
        f"{what} at {said}, sheet’s limit {limit}",
        f"The {what} has {said}; the sheet of {resin.name} ends at {limit}.",
        "Warm shop, mould and bottles first: too cold, it may never harden."
        if cold
        else "Cool the shop down and mix smaller cups: too warm, it thickens sooner and gets hotter.",
        REASONS["warmth"],
    )


def too_deep(resin, depth_mm, allowed_mm, system):
    """A pour deeper than the sheet's largest depth allows in this stack."""
    if allowed_mm is None or depth_mm <= allowed_mm + SAME_MM:
        return None
    deep, limit, neat = (say(value, "length", system) for value in (depth_mm, allowed_mm, resin.max_depth_mm))
    return Objection(
        "deep",
        f"{deep} deep, {limit} by the sheet",
        f"{deep} is deeper than the {limit} that the sheet of {resin.name} allows in this stack "
        f"({neat} of neat resin).",
        "Too deep it can overheat, smoke and crack. Pour less now, and the rest in the next pour.",
        REASONS["deep"],
    )


def depth_slip(depth_mm, planned_mm, system):
    """A pour far deeper than is planned for it: 130 for 13."""
    if planned_mm <= TOP_UP_MM or depth_mm <= DEEPER_TIMES * planned_mm + SAME_MM:
        return None
    deep, planned = say(depth_mm, "length", system), say(planned_mm, "length", system)
    return Objection(
        "slip",
        f"{deep} deep, {planned} planned",
        f"{deep} is {digits(depth_mm / planned_mm, 1)} times the {planned} planned for this pour.",
        "Look at the figure again: it is the depth of this pour alone.",
        REASONS["slip"],
    )


def too_little(depth_mm, makes_mm, system):
    """A pour far deeper than its cups can fill the mould."""
    if makes_mm is None or depth_mm <= CUPS_HOLD * makes_mm + SAME_MM:
        return None
    deep, makes = say(depth_mm, "length", system), say(makes_mm, "length", system, 1)
    return Objection(
        "little",
        f"{deep} deep, the cups make {makes}",
        f"What is in the cups makes about {makes} of depth in this mould, not {deep}.",
        "Write down how deep this pour alone is; the rest comes with the next cup.",
        REASONS["little"],
    )


def mould_full(depth_mm, left_mm, system):
    """More than a top-up into a mould that is full by the log."""
    if left_mm > TOP_UP_MM or depth_mm <= TOP_UP_MM + SAME_MM:
        return None
    return Objection(
        "full",
        "the mould was full by the log",
        f"By the log the mould is full, and {say(depth_mm, 'length', system)} more come on top; "
        f"{say(TOP_UP_MM, 'length', system)} would be a top-up.",
        "Look whether a pour was written down twice: it can be taken back.",
        REASONS["slip"],
    )


def wrong_cup(cup, ratio):
    """A cup off its ratio that is poured."""
    if ratio is None or ratio.level != "stop":
        return None
    return Objection(
        f"ratio_{cup.cup}",
        f"cup {cup.cup} off its ratio",
        f"In cup {cup.cup} B is {ratio.error_percent:+.1f} % off; ±{ratio.tolerance_percent:g} % is allowed.",
        "It may never harden, or get hot. Put it right, or throw it away on its card.",
        REASONS["ratio"],
    )


def stop_of_check(code, name, reasons):
    """A stop of the check before the mix that nobody overruled."""
    said = name.lower()
    return Objection(
        f"check_{code}",
        said,
        f"The check says stop: {said}.",
        "Put it right and check again.",
        reasons,
        of_check=code,
    )


def stop_unchecked(row):
    """A stop that a check would have found, had anybody made one; `row` is its finding in words."""
    figure = " ".join(part for part in (row.number, row.unit, row.against) if part)
    said = row.name[:1].lower() + row.name[1:]
    reckoned = f"{said}, {figure}" if figure else said
    return Objection(
        f"check_{row.code}",
        said,
        f"This pour was not checked. Reckoned now: {reckoned}. {row.reason}".strip(),
        row.remedy or "Check it first.",
        row.reasons[:-1],
        of_check=row.code,
    )


# --- readings ---


def not_a_strip(measured, planned, system):
    """Thicknesses more than twice or less than half of every strip that they may be of; 20.5 mm for 2.05."""
    slips = [value for value in measured if planned and all(is_far(value, strip_mm) for strip_mm in planned)]
    if not slips:
        return None
    figures, strips = (say_several(values, "length", system) for values in (slips, planned))
    verb = "are" if len(slips) > 1 else "is"
    return Objection(
        "strip",
        f"thickness {figures}, strips {strips}",
        f"{figures} {verb} {side_of(slips, planned)} of a strip as planned: {strips}.",
        "Look where the decimal point stands. Measure again.",
        REASONS["strip"],
    )


def side_of(slips, planned):
    """On which side of all strips some thicknesses lie."""
    if min(slips) > max(planned):
        return "more than the double"
    return "less than half" if max(slips) < min(planned) else "more than the double or less than half"


def is_far(value, strip_mm):
    """Whether a thickness can't well be that of a strip."""
    return not strip_mm / STRIP_TIMES <= value <= strip_mm * STRIP_TIMES


def wet_wood(measured, system):
    """Moisture at which wood is no material for strips, or a slip: 84 % for 8.4."""
    slips = [value for value in measured if value > WET_WOOD_PERCENT]
    if not slips:
        return None
    figures, limit = say_several(slips, "percent", system), say(WET_WOOD_PERCENT, "percent", system)
    return Objection(
        "moist",
        f"moisture {figures}, above {limit}",
        f"{figures} {'are' if len(slips) > 1 else 'is'} above {limit}: so wet is fresh wood.",
        "Look where the decimal point stands. Strips that wet shrink in the resin: let them dry.",
        REASONS["moist"],
    )


# --- out of the mould, glued, changed ---


def never_poured(block, poured):
    """A block out of its mould that was never poured by the log."""
    if poured:
        return None
    return Objection(
        "empty",
        "never poured by the log",
        f"By the log nothing was poured on {block} yet.",
        "Look whether this is the right block. If the pour was not written down, write it down first.",
        REASONS["empty"],
    )


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


def swapped(measured, planned, system):
    """Length and width typed the wrong way round, against the plan."""
    pair, plan = both(measured), both(planned)
    if None in pair or None in plan or off(pair, plan) <= off(pair[::-1], plan):
        return None
    if off(pair, plan) <= ALMOST_SQUARE * sum(plan):
        return None
    length, width = (say(value, "length", system) for value in pair)
    wanted = " by ".join(say(value, "length", system) for value in plan)
    return Objection(
        "swapped",
        "length and width look swapped",
        f"Length {length} and width {width} look swapped: planned are {wanted}.",
        "Length runs along the strips, width across them.",
        REASONS["measures"],
    )


def both(measures):
    """Length and width out of some measures."""
    return measures.get("length_mm"), measures.get("width_mm")


def off(pair, plan):
    """How far length and width together are from the plan."""
    return sum(abs(value - wanted) for value, wanted in zip(pair, plan, strict=True))


def far_off(name, label, measured, planned, system):
    """A measure that is far from the plan; nothing where either is not known."""
    value, wanted = measured.get(name), planned.get(name)
    if value is None or not wanted or abs(value - wanted) <= FAR_OFF * wanted:
        return None
    said, plan = say(value, "length", system), say(wanted, "length", system)
    percent = round(100 * abs(value - wanted) / wanted)
    return Objection(
        f"off_{name}",
        f"{label.lower()} {said}, {plan} planned",
        f"{label} {said} is {percent} % {'more' if value > wanted else 'less'} than the {plan} planned.",
        f"From {100 * FAR_OFF:.0f} % on it is more often a slip than a block. Measure again.",
        REASONS["measures"],
    )


def unticked(missing):
    """Pieces glued that are not ticked on the map of the dry fit."""
    if not missing:
        return None
    pieces = f"{missing} piece{'' if missing == 1 else 's'}"
    return Objection(
        "unticked",
        f"{pieces} not ticked",
        f"{pieces} of the panel {'is' if missing == 1 else 'are'} not ticked on the map.",
        "Lay and tick them before the glue: a joint that sets wrong is sawn apart.",
        REASONS["unticked"],
    )


def short(names):
    """What is to be bought called bought while the shelf lacks it; `names` are the lines that are short."""
    if not names:
        return None
    lines = f"{len(names)} line{'' if len(names) == 1 else 's'} of the shelf list"
    more = f" and {len(names) - SHORT_NAMED} more" if len(names) > SHORT_NAMED else ""
    return Objection(
        "short",
        f"{lines} short",
        f"{lines} {'is' if len(names) == 1 else 'are'} short: {'; '.join(names[:SHORT_NAMED])}{more}.",
        "What has come goes onto the shelf, so that the next steps find it.",
        REASONS["short"],
    )


def digit_slip(name, news, before, after):
    """A size of a block many times what it was: 130 for 13; `news` says both: “gap 2 mm, now 20 mm”."""
    if not before or not after or 1 / A_DIGIT < after / before < A_DIGIT:
        return None
    times = digits(max(after / before, before / after), 1)
    much = f"{times} times as much" if after > before else f"a {times}th of it"
    return Objection(
        f"digit_{name}",
        news,
        f"{news[0].upper()}{news[1:]}: {much}.",
        "Look at the figure again.",
        REASONS["digit"],
    )


def changed_after_pour(block, changed, poured_at, at, tz):
    """Measures of a block changed after it was poured; `changed` says them: “strips 50, now 52”."""
    if not changed or poured_at is None:
        return None
    return Objection(
        "changed",
        "changed after the pour",
        f"{block} was poured {say_time(poured_at, at, tz)}, with {'; '.join(changed)}.",
        "What lies in the mould stays as it is. Change only what was written down wrong.",
        REASONS["changed"],
    )
