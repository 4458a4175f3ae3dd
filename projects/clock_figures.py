"""What sheet and model each say of a clock, at the temperatures that were logged: the lines of its page."""

from dataclasses import dataclass

from materials.fit import clocks as fit
from materials.fit.advice import UNFITTED
from materials.models import Resin
from projects import clock_model, fold, moving
from projects.clocks import say_time
from projects.models import Timer
from workshop.units import say

KIND = Timer.Kind
LINES = {
    KIND.POT_LIFE: [("too thick", "life", "")],
    KIND.GEL: [("begins to gel", "", "gel_first_min"), ("gelled right through", "", "gel_all_min")],
    KIND.RECOAT: [
        ("begins to gel", "", "gel_first_min"),
        ("next pour from", "due_min", "next_min"),
        ("next pour until", "closes_min", "bond_closes_min"),
    ],
    KIND.DEMOULD: [("out of the mould", "due_min", "handling_min")],
    KIND.FULL_CURE: [("as hard as it gets", "due_min", "")],
    KIND.TACK: [
        ("next coat from", "due_min", ""),
        ("next coat until", "closes_min", ""),
        ("can be sanded", "", "handling_min"),
    ],
    KIND.SAND: [("can be sanded", "", "handling_min")],
    KIND.COAT: [("next coat from", "due_min", ""), ("next coat until", "closes_min", "")],
}
"""What there is to say of each kind: the words, the sheet's minutes, the model's moment."""
NO_MODEL = "The model has no word on it: {}"
BY_SHEET = (
    "The model rests on the sheet’s pot life and on guesses about what no sheet states; no casting was "
    "measured. It is shown beside the sheet, and the clock goes by the sheet."
)
BY_SHEET_HEAVY = (
    "The model rests on the sheet’s pot life and on guesses about what no sheet states. This cup is heavier "
    "than the sheet’s: its clock goes by half of the sheet’s time or by the model, whichever is sooner."
)
BY_TEST = (
    "The model rests on {}. The clock goes by whichever of the two is safer: a cup by the sooner, a cure by "
    "the later."
)


@dataclass(frozen=True)
class Line:
    """One line: what, by the sheet, by the model as expected, and from when to when the model's bands go."""

    what: str
    sheet: str
    model: str
    band: str


@dataclass(frozen=True)
class Figures:
    """All lines of a clock, the temperatures that they hold for, and what the model rests on."""

    lines: tuple = ()
    temps: str = ""
    rests_on: str = ""


def figures_of(timer, warmths, now, tz):
    """The figures of a clock through the temperatures that were read while it ran."""
    lines, figures = LINES.get(KIND(timer.kind), []), timer.figures
    if not lines or figures.get("law") not in moving.FOLLOWS:
        return Figures()
    temps, closing = moving.both_temps(timer, warmths)
    asked = any(word for *_, word in lines) or has_cup(timer)
    bands, rests_on = model_of(timer) if asked else (None, "")

    def told(line):
        through = closing if line[1] == "closes_min" else temps
        words = clock_model.reckoned(figures, bands, through) if bands else {}
        return line_of(timer, line, through, words, now, tz)

    return Figures(
        lines=tuple(told(line) for line in lines), temps=temps_said(timer, temps, now, tz), rests_on=rests_on
    )


def has_cup(timer):
    """Whether a clock is about a cup of which the model knows enough."""
    return "meaning" in timer.figures


def model_of(timer):
    """The fits by which the model speaks of a clock, None where it can't, and what they rest on."""
    figures = timer.figures
    if figures.get("law") == moving.SHEET_FIT:
        return fit.thawed(figures["model"]), BY_SHEET_HEAVY
    if "model" in figures:
        return fit.thawed(figures["model"]), BY_TEST.format(fit.rests_on(figures["model"], timer.shop.tz))
    resins = Resin.objects.of(timer.shop).select_related("shop")
    resin = resins.filter(key=figures.get("resin_key") or None).first()
    if resin is None:
        return None, ""
    try:
        return fit.by_sheet_or_test(resin), BY_SHEET
    except UNFITTED as problem:
        return None, NO_MODEL.format(f"{problem}.")


def line_of(timer, line, temps, words, now, tz):
    """One line in words."""
    what, sheet, model = line
    minutes = {band: word if model == "" else getattr(word, model) for band, word in words.items()}
    known = [each for each in minutes.values() if isinstance(each, float | int)]
    expected = minutes.get("nominal") if (model or has_cup(timer)) else None

    def at(each):
        return say_time(fold.later(timer.started_at, each), now, tz)

    return Line(
        what,
        sheet_word(timer, sheet, temps, now, tz),
        at(expected) if isinstance(expected, float | int) else "",
        f"{at(min(known))} to {at(max(known))}" if len(known) > 1 and (model or has_cup(timer)) else "",
    )


def sheet_word(timer, name, temps, now, tz):
    """The sheet's own figure, carried through the temperatures; empty where the sheet has none."""
    if name == "life":
        minutes = timer.batch.pot_life_min if timer.batch else None
    else:
        clocks = timer.entry.detail.get("clocks", [])
        minutes = (
            next((clock.get(name) for clock in clocks if clock["kind"] == timer.kind), None) if name else None
        )
    if not minutes:
        return ""
    return say_time(moving.through(timer.started_at, minutes, temps), now, tz)


def temps_said(timer, temps, now, tz):
    """The temperatures that a clock went through: "20 °C at the start, 27 °C from 12:10"."""
    said = [f"{say(temps[0][1], 'temperature', timer.shop.units)} at the start"]
    for minute, temp_c in temps[1:]:
        moment = say_time(fold.later(timer.started_at, minute), now, tz)
        said.append(f"{say(temp_c, 'temperature', timer.shop.units)} from {moment}")
    return ", ".join(said)
