"""The bridge from a kept or typed design to the calculations: layout, plan, seams, each computed once.

Results are kept by their inputs, so that a moved eye or a tick at the bench computes no piece anew.
"""

import hashlib
import json
from dataclasses import asdict, dataclass, replace
from functools import lru_cache

from materials.science.errors import OutOfRange
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
from projects.panel.patterns import made

GEOMETRY_VERSION = 1  # a change of how pieces are numbered makes papers printed before it stale
SLIVER = 0.1  # seen of a piece; judgement, no source
TRIES, MANY = 6, 4_000  # beyond so many pieces fewer origins are tried
KEPT = 16  # designs; twenty thousand pieces take some megabytes each
NONE_WHOLE = (
    "No piece stays whole in this panel. Take a smaller pattern, a larger panel, or let it begin elsewhere."
)


@dataclass(frozen=True)
class Design:
    """All that a panel is computed from, hashable; one stack for each shape of the pattern."""

    pattern: str
    sizes: tuple
    width_mm: float
    height_mm: float
    origin: tuple | None
    turn_deg: float
    glue_mm: float
    overhang_mm: float
    lines: str
    stacks: tuple
    saw: Saw
    stock: tuple = ()

    def version(self):
        """Changes with anything that numbers, bars or cuts are computed from; printed on papers."""
        parts = {
            "geometry": GEOMETRY_VERSION,
            **asdict(self),
            "stacks": [in_floats(asdict(stack)) for stack in self.stacks],
            "saw": in_floats(asdict(self.saw)),
        }
        # what came later is left out where it is not used, so that papers printed before stay current
        if not self.stock:
            del parts["stock"]
        if not self.saw.true_mm:
            del parts["saw"]["true_mm"]
        return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


@dataclass(frozen=True)
class Asked:
    """A design before its pattern is known to be possible: the stack of each shape's block by its name."""

    pattern: str
    sizes: dict
    frame: dict
    lines: str
    first: Stack
    by_shape: dict
    saw: Saw
    stock: tuple = ()

    def design(self):
        """The design. Raises NotMade where the pattern's sizes make none."""
        try:
            shapes = made(self.pattern, self.sizes).shapes
        except OutOfRange as problem:
            raise NotMade("sizes", problem) from problem
        origin = self.frame["origin"]
        return Design(
            pattern=self.pattern,
            sizes=tuple(sorted((name, float(value)) for name, value in self.sizes.items())),
            width_mm=float(self.frame["width_mm"]),
            height_mm=float(self.frame["height_mm"]),
            origin=origin and (float(origin[0]), float(origin[1])),
            turn_deg=float(self.frame["turn_deg"]),
            glue_mm=float(self.frame["glue_mm"]),
            overhang_mm=float(self.frame["overhang_mm"]),
            lines=self.lines,
            stacks=tuple(self.by_shape.get(shape.name, self.first) for shape in shapes),
            saw=self.saw,
            stock=self.stock,
        )


class NotMade(ValueError):  # noqa: N818 it is an answer to who typed it
    """A design that can't be: where (a field, or `sizes`), and why in a sentence."""

    def __init__(self, where, problem):
        super().__init__(where, problem)
        self.where, self.problem = where, problem


def in_floats(values):
    """Figures in one spelling, so that 2 and 2.0 are one design."""
    return {name: float(value) for name, value in values.items()}


@lru_cache(maxsize=KEPT)
def pattern_of(design):
    """The pure pattern."""
    return made(design.pattern, dict(design.sizes))


@lru_cache(maxsize=KEPT)
def laid_out(design):
    """The panel with all its pieces. Raises OutOfRange."""
    from projects.geometry.panel import lay_out

    return lay_out(
        pattern_of(design), design.width_mm, design.height_mm, design.stacks, design.origin,
        design.turn_deg, design.glue_mm, design.overhang_mm,
    )  # fmt: skip


@lru_cache(maxsize=KEPT)
def planned(design):
    """Its cut plan, by the rule for lines: with run-on lines a ring comes from one bar. Raises OutOfRange."""
    from projects.geometry.cuts import plan_cuts, plan_from_stock, plan_whole_rings

    if design.stock:
        whole = design.lines == "run_on"
        return plan_from_stock(laid_out(design), design.stacks, design.saw, design.stock, whole_rings=whole)
    plan = plan_whole_rings if design.lines == "run_on" else plan_cuts
    return plan(laid_out(design), design.stacks, design.saw)


def cast_of(design):
    """How many blocks a design takes: those that lie there with flaws, and those still to cast."""
    lying = sum(one.cast for one in design.stock)
    return lying + sum(block.stock is None for block in planned(design).blocks)


@lru_cache(maxsize=KEPT)
def seams_of(design):
    """Every seam of the panel."""
    from projects.geometry.seams import find_seams

    return find_seams(laid_out(design))


@lru_cache(maxsize=KEPT)
def calm_origin(design):
    """Where the pattern lies with fewer slivers and cut pieces than it does, or None if nowhere tried."""
    from projects.geometry import origins

    panel = laid_out(design)
    before = trouble(panel)
    if before == (0, 0):
        return None
    tries = TRIES if len(panel.number) <= MANY else 3
    found = origins.calm_origin(
        pattern_of(design), design.width_mm, design.height_mm, design.stacks, design.turn_deg, SLIVER, tries
    )
    origin = tuple(round(value, 3) for value in found)
    return origin if trouble(laid_out(replace(design, origin=origin))) < before else None


def trouble(panel):
    """What speaks against where a pattern lies: slivers, then pieces that the frame cuts."""
    return len(panel.slivers(SLIVER)), int(panel.clipped.sum())


def checked(design):
    """The design, if a panel and a plan can be made of it.

    Raises NotMade with the place where it is to be put right.
    """
    try:
        panel = laid_out(design)
    except OutOfRange as problem:
        raise NotMade(place_of(problem), problem) from problem
    if panel.clipped.all():
        raise NotMade("sizes", NONE_WHOLE)
    try:
        planned(design)
    except OutOfRange as problem:
        raise NotMade("sizes", in_the_shop(problem)) from problem
    return design


def place_of(problem):
    """The field that a layout's refusal belongs to."""
    return problem.name if problem.name in {"width_mm", "height_mm", "turn_deg", "glue_mm"} else "sizes"


def in_the_shop(problem):
    """Why no plan can be made, as a maker says it."""
    if problem.name == "bar_mm":
        return (
            f"The bars would be {problem.value:.4g} mm wide, but a block gives {problem.high:.4g} mm at most."
            " Take a smaller pattern, or put a wider mould under Shop."
        )
    if problem.name == "bar_length_mm":
        return (
            f"One piece with its ends needs a bar of {problem.value:.4g} mm, but a block is "
            f"{problem.high:.4g} mm long at most. Take a smaller pattern, or put a longer mould under Shop."
        )
    return str(problem)
