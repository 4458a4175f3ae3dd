"""A pattern laid out over a panel: every piece, where it lies and what of it can be seen.

Frame of the panel: x to the right, y up, in mm, the lower left corner at the origin. A piece's point x of
the bar comes to lie at M·x + shift, M being a turn, and a flip of y first for a piece that lies face down.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from materials.science.errors import OutOfRange, checked
from projects.geometry.clipping import Flags, Floats, Whole, areas, middles, widened, within
from projects.geometry.patterns.base import Pattern, Point, Shape, turned
from projects.geometry.stack import Stack

MOST_PIECES = 20_000
LEAST_PANEL_MM, MOST_PANEL_MM = 1, 10_000
# smaller than this share of its piece, what reaches into the frame is rounding and no piece
DUST = 1e-10
DECIMALS = 9


@dataclass(frozen=True, eq=False)
class Panel:
    """A panel laid out; one entry per piece in every array, in the order of their numbers.

    Parameters: pattern; shapes, as they are sawn (smaller than the pattern's by half a glue line all
    round); stacks, one for each shape; width_mm and height_mm; glue_mm and overhang_mm; shape, each
    piece's index; turn_deg; face_down; shift_mm; lying_mm, for each place of a repeat the corners of its
    piece against its shift; clipped, whether the frame cuts it; visible_area_mm2, inside the frame without
    overhang; cell, which repeat a piece belongs to, and place, its index in it; padded_mm, what is seen of
    each piece, counter-clockwise; outline_mm, the same up to the middle of the glue lines, and edge, from
    which edge of its shape each of its sides comes (-1: the frame).

    >>> from projects.geometry.patterns.squares import squares
    >>> panel = lay_out(squares(60), 600, 420, Stack(), origin=(30, 30))
    >>> len(panel.number), int(panel.clipped.sum()), panel.pitch_mm
    (280, 0, array([4.]))
    """

    pattern: Pattern
    shapes: tuple[Shape, ...]
    stacks: tuple[Stack, ...]
    width_mm: float
    height_mm: float
    glue_mm: float
    overhang_mm: float
    shape: Whole
    turn_deg: Floats
    face_down: Flags
    shift_mm: Floats
    lying_mm: Floats
    clipped: Flags
    visible_area_mm2: Floats
    cell: Whole
    place: Whole
    padded_mm: Floats
    outline_mm: Floats
    edge: Whole

    @cached_property
    def number(self) -> Whole:
        """The place number of each piece: by rows from the top, from left to right."""
        return np.arange(1, len(self.shape) + 1)

    @cached_property
    def corners_mm(self) -> Floats:
        """The corners of each uncut piece in the order of the bar; a triangle repeats one."""
        return _rounded(self.lying_mm.take(self.place, axis=0) + self.shift_mm[:, None])

    @cached_property
    def visible_mm(self) -> list[Floats]:
        """What is seen of each piece: its corners counter-clockwise, none repeated."""
        apart = np.abs(self.padded_mm - np.roll(self.padded_mm, 1, axis=1)).max(axis=2) > 1e-9
        counts = np.cumsum(apart.sum(axis=1))[:-1]
        return np.split(self.padded_mm[apart], counts)

    @cached_property
    def middle_mm(self) -> Floats:
        """The centre of what is seen of each piece."""
        return middles(self.padded_mm)

    @cached_property
    def stripe_deg(self) -> Floats:
        """The direction of each piece's stripes, from 0 up to 180."""
        alpha = np.array([shape.stripe_deg for shape in self.shapes])[self.shape]
        return np.asarray((self.turn_deg + np.where(self.face_down, -alpha, alpha)) % 180)

    @cached_property
    def pitch_mm(self) -> Floats:
        """From strip to strip, for each shape."""
        return np.array([float(stack.pitch_mm) for stack in self.stacks])

    @cached_property
    def stripe_normal(self) -> Floats:
        """A unit vector across each piece's stripes, as the bar has it."""
        alpha = np.radians([shape.stripe_deg for shape in self.shapes])[self.shape]
        across = np.where(self.face_down, -np.cos(alpha), np.cos(alpha))
        turn = np.radians(self.turn_deg)
        x = -np.sin(alpha) * np.cos(turn) - across * np.sin(turn)
        y = -np.sin(alpha) * np.sin(turn) + across * np.cos(turn)
        return np.stack([x, y], axis=1)

    @cached_property
    def stripe_offset_mm(self) -> Floats:
        """Where one strip's centre line lies in each piece: this is the product of normal and point."""
        phase = np.array([shape.phase for shape in self.shapes])[self.shape]
        (x, y), (shift_x, shift_y) = self.stripe_normal.T, self.shift_mm.T
        return np.asarray(phase + x * shift_x + y * shift_y)

    def slivers(self, fraction: float) -> Whole:
        """The pieces of which less than a fraction is seen, as indices into the arrays.

        >>> from projects.geometry.patterns.basket import basket
        >>> len(lay_out(basket(40), 401, 240, Stack(), origin=(0, 0)).slivers(0.05))
        6
        """
        whole = np.array([shape.area_mm2 for shape in self.shapes])[self.shape]
        return np.nonzero(self.visible_area_mm2 < checked("fraction", fraction, 0, 1, "") * whole)[0]


def lay_out(
    pattern: Pattern,
    width_mm: float,
    height_mm: float,
    stack: Stack | Sequence[Stack],
    origin: Point | None = None,
    turn_deg: float = 0,
    glue_mm: float = 0,
    overhang_mm: float = 0,
) -> Panel:
    """A pattern laid out over a panel and clipped to its frame.

    Parameters: pattern; width_mm and height_mm, of the panel; stack, one for all shapes or one for each;
    origin, the point of the panel where the pattern's own origin lies (None: the middle); turn_deg, by
    which the pattern is turned about that point; glue_mm, width of a glue line, sizes being counted from
    the middle of one to the middle of the next; overhang_mm, by which the glued panel is larger on each
    side than the trimmed one.
    Returns: a Panel.
    Raises: OutOfRange, also for more than 20 000 pieces.
    Valid for: any pattern whose cells fill the plane.
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.zigzag import zigzag
    >>> panel = lay_out(zigzag(30, 60, 45), 600, 400, Stack(), origin=(0, 0))
    >>> len(panel.number), int(panel.face_down.sum())
    (120, 60)
    """
    checked("width_mm", width_mm, LEAST_PANEL_MM, MOST_PANEL_MM, "mm")
    checked("height_mm", height_mm, LEAST_PANEL_MM, MOST_PANEL_MM, "mm")
    checked("turn_deg", turn_deg, -360, 360, "°")
    checked("glue_mm", glue_mm, 0, 5, "mm")
    checked("overhang_mm", overhang_mm, 0, 1_000, "mm")
    stacks = (stack,) * len(pattern.shapes) if isinstance(stack, Stack) else tuple(stack)
    if len(stacks) != len(pattern.shapes):
        raise ValueError(
            f"{pattern.name} has {len(pattern.shapes)} shapes, but there are {len(stacks)} stacks"
        )
    low, high = np.full(2, -float(overhang_mm)), np.array([width_mm, height_mm]) + overhang_mm
    expected = np.prod(high - low) / pattern.cell_area_mm2 * len(pattern.cell)
    if expected > MOST_PIECES:
        raise OutOfRange("pieces", round(float(expected)), 1, MOST_PIECES, "pieces")
    middle = (width_mm / 2, height_mm / 2) if origin is None else origin
    for name, value in zip(("origin_x_mm", "origin_y_mm"), middle, strict=True):
        checked(name, value, -100 * MOST_PANEL_MM, 100 * MOST_PANEL_MM, "mm")
    laying = _Laying(pattern, (low, high), (float(middle[0]), float(middle[1])), turn_deg)
    return laying.panel((float(width_mm), float(height_mm)), stacks, float(glue_mm), float(overhang_mm))


@dataclass(frozen=True, eq=False)
class _Laying:
    """A pattern over a frame (low and high corner), its origin at a point and turned."""

    pattern: Pattern
    frame: tuple[Floats, Floats]
    origin: Point
    turn_deg: float

    @cached_property
    def turns(self) -> Floats:
        """How far each piece of the cell is turned, within one round."""
        return np.array([(place.turn_deg + self.turn_deg) % 360 for place in self.pattern.cell])

    @cached_property
    def matrices(self) -> Floats:
        """How the bar's directions come to lie, for each piece of the cell."""
        found = []
        for turn, place in zip(self.turns.tolist(), self.pattern.cell, strict=True):
            along, across = turned(turn, (1, 0)), turned(turn, (0, -1 if place.face_down else 1))
            found.append([[along[0], across[0]], [along[1], across[1]]])
        return np.array(found)

    @cached_property
    def lattice(self) -> Floats:
        """The two steps from cell to cell, as columns."""
        return np.array([turned(self.turn_deg, step) for step in self.pattern.lattice]).T

    @cached_property
    def face_down(self) -> Flags:
        """Which pieces of the cell lie face down."""
        return np.array([place.face_down for place in self.pattern.cell])

    @cached_property
    def kind(self) -> Whole:
        """The shape of each piece of the cell."""
        return np.array([place.shape for place in self.pattern.cell])

    @cached_property
    def planned(self) -> "_Cell":
        """The pieces of the origin's own cell, up to the middle of the glue lines."""
        return self.cell(self.pattern.shapes, np.zeros((len(self.turns), 2)))

    def cell(self, shapes: tuple[Shape, ...], inset: Floats) -> "_Cell":
        """The pieces of the origin's own cell in these shapes, each moved by an inset in its bar's frame."""
        corner = np.array([turned(self.turn_deg, place.at_mm) for place in self.pattern.cell]) + self.origin
        shift = corner + (self.matrices @ inset[..., None])[..., 0]
        bars = np.array([shape.corners_mm for shape in shapes])[self.kind]
        corners = bars @ self.matrices.transpose(0, 2, 1) + shift[:, None]
        areas_mm2 = np.array([shape.area_mm2 for shape in shapes])[self.kind]
        return _Cell(shift, corners, corners.min(axis=1), corners.max(axis=1), areas_mm2)

    def cells(self) -> Floats:
        """The moves to all repeats of which any piece may touch the frame: row by row of the lattice."""
        low, high = (
            self.frame[0] - self.planned.high.max(axis=0),
            self.frame[1] - self.planned.low.min(axis=0),
        )
        corners = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
        steps = (corners @ np.linalg.inv(self.lattice).T)[:, 0]
        i = np.arange(np.floor(steps.min()), np.ceil(steps.max()) + 1)
        first, last = np.full(len(i), -np.inf), np.full(len(i), np.inf)
        for axis in (0, 1):
            step, base = self.lattice[axis, 1], self.lattice[axis, 0] * i
            if abs(step) < 1e-9:  # the row runs square to this axis: it lies within as a whole, or not at all
                first[(base < low[axis]) | (base > high[axis])] = np.inf
                continue
            ends = (low[axis] - base) / step, (high[axis] - base) / step
            first, last = np.maximum(first, np.minimum(*ends)), np.minimum(last, np.maximum(*ends))
        held = first <= last + 1
        i, start = i[held], np.ceil(first[held] - 1e-9)
        count = np.maximum(np.floor(last[held] + 1e-9) - start + 1, 0).astype(np.int64)
        steps_on = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
        j = np.repeat(start, count) + steps_on
        return np.asarray(np.stack([np.repeat(i, count), j], axis=1) @ self.lattice.T)

    def candidates(self) -> tuple[Whole, Floats, Whole]:
        """The pieces whose box touches the frame, in reading order: index in the cell, move, which cell."""
        (left, bottom), (right, top) = self.frame
        x, y = self.cells().T
        low, high = self.planned.low, self.planned.high
        touching = (high[:, :1] + x > left) & (high[:, 1:] + y > bottom)
        touching &= (low[:, :1] + x < right) & (low[:, 1:] + y < top)
        piece, cell = np.nonzero(touching)
        across, up = middles(self.planned.corners).T
        order = _rows(across[piece] + x[cell], up[piece] + y[cell])
        piece, cell = piece[order], cell[order]
        return piece, np.stack([x[cell], y[cell]], axis=1), cell

    def panel(
        self, size_mm: tuple[float, float], stacks: tuple[Stack, ...], glue_mm: float, overhang_mm: float
    ) -> Panel:
        """All pieces that can be seen, as a Panel."""
        piece, moves, cell = self.candidates()
        shapes, laid = self.pattern.shapes, self.planned
        outline, edge, area = self.seen(laid, piece, moves)
        visible = outline
        if glue_mm:
            insets = [shape.inset(glue_mm / 2) for shape in shapes]
            shapes = tuple(shape for shape, _ in insets)
            laid = self.cell(shapes, np.array([insets[kind][1] for kind in self.kind.tolist()]))
            visible, _, area = self.seen(laid, piece, moves)
        real = area > DUST * laid.area_mm2[piece]
        if not real.all():
            piece, cell, edge = piece[real], cell[real], edge[real]
            moves, area, outline, visible = moves[real], area[real], outline[real], visible[real]
        if overhang_mm:
            tags = np.zeros(visible.shape[:2], dtype=np.int64)
            area = areas(within(visible, tags, np.zeros(2), np.array(size_mm))[0])
        past = self.beyond(laid, piece, moves, 1e-7)
        return Panel(
            *(self.pattern, shapes, stacks, *size_mm, glue_mm, overhang_mm),
            shape=self.kind[piece],
            turn_deg=self.turns[piece],
            face_down=self.face_down[piece],
            shift_mm=laid.shift[piece] + moves,
            lying_mm=laid.corners - laid.shift[:, None],
            clipped=past,
            visible_area_mm2=area,
            cell=cell,
            place=piece,
            padded_mm=visible,
            outline_mm=outline,
            edge=edge,
        )

    def beyond(self, laid: "_Cell", piece: Whole, moves: Floats, by_mm: float) -> Flags:
        """Which pieces reach beyond the frame by more than a length."""
        (left, bottom), (right, top) = self.frame
        x, y = moves.T
        low, high = laid.low[piece], laid.high[piece]
        past = (low[:, 0] + x < left - by_mm) | (low[:, 1] + y < bottom - by_mm)
        return np.asarray(past | (high[:, 0] + x > right + by_mm) | (high[:, 1] + y > top + by_mm))

    def seen(self, laid: "_Cell", piece: Whole, moves: Floats) -> tuple[Floats, Whole, Floats]:
        """What of each piece lies in the frame, counter-clockwise; its edges; its area."""
        down = self.face_down[:, None]
        ahead = np.where(down[..., None], laid.corners[:, ::-1], laid.corners)
        edges = np.where(down, np.array([2, 1, 0, 3]), np.arange(4))
        cut = np.nonzero(self.beyond(laid, piece, moves, 0))[0]
        low, high = self.frame
        parts, part_edges = within(ahead[piece[cut]] + moves[cut, None], edges[piece[cut]], low, high)
        points, edge = widened(
            _rounded(ahead.take(piece, axis=0) + moves[:, None]),
            edges.take(piece, axis=0),
            max(4, parts.shape[1]),
        )
        points[cut], edge[cut] = widened(_rounded(parts), part_edges, points.shape[1])
        area = laid.area_mm2[piece]
        area[cut] = areas(points[cut])
        return points, edge, area


class _Cell(NamedTuple):
    """The pieces of one cell: shift, corners, the box round each, and area when whole."""

    shift: Floats
    corners: Floats
    low: Floats
    high: Floats
    area_mm2: Floats


def _rounded(points: Floats) -> Floats:
    """Points as they are kept: what is nearer than rounding is one point."""
    return np.asarray(np.round(points, DECIMALS), dtype=np.float64)


def _rows(x: Floats, y: Floats) -> Whole:
    """The order of points by rows from the top, then from left to right."""
    down = np.argsort(-y, kind="stable")
    new_row = np.diff(y[down], prepend=np.inf) < -1e-6
    row = np.empty(len(y), dtype=np.int64)
    row[down] = np.cumsum(new_row)
    # one key for both, rows far apart on it
    return np.argsort(row * (np.ptp(x) + 1 if len(x) else 1) + x, kind="stable")
