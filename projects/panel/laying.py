"""From a design to what is laid at the bench: groups of pieces, and the map that shows how far one is."""

from dataclasses import dataclass
from functools import lru_cache

from projects.panel.design import laid_out, pattern_of, planned
from projects.panel.named import in_runs
from projects.panel.pictures import MOST_LETTERED, in_true_size
from workshop.drawn import drawn

WAYS = ("rows", "rings", "bars")
DIM = 0.15  # how bright laid pieces are while one group is shown


@dataclass(frozen=True)
class Group:
    """Pieces that are laid together: how they are called, their numbers, how many of them lie."""

    place: int
    name: str
    numbers: tuple
    laid: int

    @property
    def said(self):
        """Its numbers as they are said."""
        return in_runs(self.numbers)

    @property
    def sent(self):
        """Its numbers as a form sends them."""
        return " ".join(map(str, self.numbers))

    @property
    def whole(self):
        """Whether all of it lies."""
        return self.laid == len(self.numbers)


def ways_of(design):
    """The ways in which a panel can be laid, each with its word."""
    rings = "Rings" if pattern_of(design).ring else "Repeats"
    return (("rows", "Rows"), ("rings", rings), ("bars", "Bars"))


@lru_cache(maxsize=32)
def numbers_by(design, way):
    """The numbers of each group."""
    from projects.geometry import groups

    if way == "bars":
        return tuple(groups.by_bar(planned(design).bar.tolist()))
    return tuple({"rows": groups.rows, "rings": groups.repeats}[way](laid_out(design)))


def groups_by(design, way, marks):
    """The groups with how many of each lie."""
    word = dict(ways_of(design))[way].removesuffix("s")
    return [
        Group(place, f"{word} {place}", numbers, sum(number in marks for number in numbers))
        for place, numbers in enumerate(numbers_by(design, way), start=1)
    ]


@dataclass(frozen=True)
class Piece:
    """One piece of a group: its number as it is written on it, its bar, and how it lies."""

    number: int
    mark: str
    bar: int
    cut: int
    turn_deg: float
    state: str


def pieces_of(design, numbers, marks):
    """The pieces of a group, one by one."""
    panel, plan = laid_out(design), planned(design)
    found = []
    for number in numbers:
        at = number - 1
        down = "F" if panel.face_down[at] else ""
        found.append(
            Piece(
                number=number,
                mark=f"{number}{down}",
                bar=int(plan.bar[at]),
                cut=int(plan.cut[at]),
                turn_deg=float(panel.turn_deg[at]),
                state=marks.get(number, ""),
            )
        )
    return found


@lru_cache(maxsize=8)
def map_of(design, laid, group=()):
    """The map at its own size, so that numbers stay readable: laid pieces light, or those of one group."""
    import numpy as np

    from projects.geometry.drawing import panel_svg

    panel = laid_out(design)
    light = np.zeros(len(panel.number))
    light[np.array(sorted(laid), dtype=int) - 1] = DIM if group else 1
    light[np.array(group, dtype=int) - 1] = 1
    shares = np.array([stack.resin_fraction for stack in design.stacks])[panel.shape]
    lettered = len(light) <= MOST_LETTERED
    return drawn(in_true_size(panel_svg(panel, numbers=lettered, arrows=True, brightness=light * shares)))


def piece_rows(design):
    """Every piece for a table: number, shape, bar and cut, how it lies, where its middle is."""
    panel, plan = laid_out(design), planned(design)
    names = [shape.name for shape in panel.shapes]
    rows = zip(
        panel.number.tolist(), panel.shape.tolist(), plan.bar.tolist(), plan.cut.tolist(),
        panel.turn_deg.tolist(), panel.face_down.tolist(), panel.middle_mm.round(2).tolist(), strict=True,
    )  # fmt: skip
    return [
        (number, names[shape], bar, cut, round(turn, 3), "face down" if down else "", *middle)
        for number, shape, bar, cut, turn, down, middle in rows
    ]
