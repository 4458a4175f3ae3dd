"""How wide bars have to be so that lines run on across rims, or so that all bars are alike."""

from typing import Literal, NamedTuple

from materials.science.errors import UnknownName, checked
from projects.geometry.cuts import run_on_width, snap_rip_width
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack

Rule = Literal["run_on", "alike"]
RULES: tuple[Rule, ...] = ("run_on", "alike")


class Bars(NamedTuple):
    """What bars of one width do to the lines.

    Parameters: width_mm; rim_jump_mm, how far lines miss each other across a rim; shift_mm, how far lines
    shift from one bar of a block to the next. Both from just above -pitch/2 to +pitch/2.

    >>> Bars(30, 2, 0).shift_mm
    0
    """

    width_mm: float
    rim_jump_mm: float
    shift_mm: float


def bars_of(width_mm: float, stack: Stack, saw: Saw) -> Bars:
    """What bars of a width do to the lines.

    Parameters: width_mm, of the bars; stack; saw.
    Returns: Bars.
    Raises: OutOfRange.
    Valid for: stripes along the bars, a strip or a gap on the bar's centre line.
    Source: geometry; needs none.

    >>> bars_of(30, Stack(), Saw())
    Bars(width_mm=30, rim_jump_mm=2.0, shift_mm=0.0)
    """
    checked("bar_mm", width_mm, 0.01, 10_000, "mm")
    pitch = stack.pitch_mm
    return Bars(width_mm, _wrapped(width_mm, pitch), _wrapped(width_mm + saw.between_mm, pitch))


def width_for(rule: Rule, width_mm: float, stack: Stack, saw: Saw) -> float:
    """The nearest bar width that keeps a rule.

    Parameters: rule, "run_on" (lines run on across rims) or "alike" (all bars of a block alike); width_mm,
    as the pattern has it; stack; saw.
    Returns: mm.
    Raises: OutOfRange, UnknownName.
    Valid for, source: as bars_of.

    >>> width_for("run_on", 30, Stack(), Saw()), width_for("alike", 30, Stack(), Saw())
    (32, 30)
    """
    if rule not in RULES:
        raise UnknownName("rule for lines", rule, RULES)
    return run_on_width(width_mm, stack) if rule == "run_on" else snap_rip_width(width_mm, stack, saw)


def scaled(sizes: dict[str, float], factor: float) -> dict[str, float]:
    """A pattern's sizes made larger or smaller so that its bars are: the bar's alone, where it has one.

    Parameters: sizes, by name; factor.
    Returns: sizes by name; angles and counts stay.
    Raises: OutOfRange.

    >>> scaled({"side_mm": 60}, 0.5), scaled({"column_mm": 30, "bar_mm": 60, "angle_deg": 45}, 0.5)
    ({'side_mm': 30.0}, {'column_mm': 30, 'bar_mm': 30.0, 'angle_deg': 45})
    """
    checked("factor", factor, 1e-6, 1e6, "")
    moved = ["bar_mm"] if "bar_mm" in sizes else [name for name in sizes if name.endswith("_mm")]
    return {name: round(value * factor, 6) if name in moved else value for name, value in sizes.items()}


def _wrapped(value_mm: float, pitch_mm: float) -> float:
    """How far a value is from the nearest whole number of pitches; a tie counts as + half a pitch."""
    rest = value_mm % pitch_mm
    if rest > pitch_mm / 2 + 1e-9:
        rest -= pitch_mm
    return round(rest, 9) + 0.0
