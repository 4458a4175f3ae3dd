"""A pattern laid out over a panel: every piece, where it lies and what of it can be seen.

Frame of the panel: x to the right, y up, in mm, the lower left corner at the origin. A piece's point x of
the bar comes to lie at M·x + shift, M being a turn, and a flip of y first for a piece that lies face down.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

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
    piece's index; turn_deg; face_down; shift_mm; corners_mm, the uncut piece in the order of the bar;
    clipped, whether the frame cuts it; visible_area_mm2, inside the frame without overhang; number, a
    place number by rows from the top; cell, which repeat a piece belongs to, and place, its index in it;
    padded_mm, what is seen of
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
    corners_mm: Floats
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
        return np.asarray(phase + (self.stripe_normal * self.shift_mm).sum(axis=1))

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
    def first_shift(self) -> Floats:
        """Where the corner of each piece of the cell lies, the origin's own cell."""
        return np.array([turned(self.turn_deg, place.at_mm) for place in self.pattern.cell]) + self.origin

    def corners(self, shapes: tuple[Shape, ...]) -> Floats:
        """The corners of each piece of the cell against its own shift, of shape (pieces, 4, 2)."""
        bars = np.array([shapes[place.shape].corners_mm for place in self.pattern.cell])
        return np.asarray(bars @ self.matrices.transpose(0, 2, 1))

    def candidates(self) -> tuple[Whole, Floats, Whole]:
        """The pieces whose box touches the frame: index in the cell, shift, which cell."""
        low, high = self.frame
        corners = self.corners(self.pattern.shapes) + self.first_shift[:, None]
        frame = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
        reach = (frame[:, None] - corners.reshape(-1, 2)[None]).reshape(-1, 2)
        steps = reach @ np.linalg.inv(self.lattice).T
        first, last = np.floor(steps.min(axis=0)).astype(int), np.ceil(steps.max(axis=0)).astype(int)
        i, j = (part.ravel() for part in np.mgrid[first[0] : last[0] + 1, first[1] : last[1] + 1])
        moves = np.stack([i, j], axis=1) @ self.lattice.T
        box_low, box_high = corners.min(axis=1), corners.max(axis=1)
        touching = (box_high[:, None] + moves > low).all(axis=2) & (box_low[:, None] + moves < high).all(
            axis=2
        )
        piece, cell = np.nonzero(touching)
        return piece, self.first_shift[piece] + moves[cell], cell

    def panel(
        self, size_mm: tuple[float, float], stacks: tuple[Stack, ...], glue_mm: float, overhang_mm: float
    ) -> Panel:
        """All pieces that can be seen, as a Panel."""
        piece, shift, cell = self.candidates()
        shapes = self.pattern.shapes
        full = np.round(self.corners(shapes)[piece] + shift[:, None], DECIMALS)
        outline, edge, seen = self.seen(full, piece, shapes)
        order = np.nonzero(seen)[0]
        order = order[_rows(full[order])]
        piece, shift, cell, full = piece[order], shift[order], cell[order], full[order]
        outline, edge, visible, corners = outline[order], edge[order], outline[order], full
        if glue_mm:
            insets = [shape.inset(glue_mm / 2) for shape in shapes]
            shapes = tuple(shape for shape, _ in insets)
            moved = np.array([insets[place.shape][1] for place in self.pattern.cell])
            shift = shift + (self.matrices @ moved[..., None])[piece, :, 0]
            corners = np.round(self.corners(shapes)[piece] + shift[:, None], DECIMALS)
            visible, _, _ = self.seen(corners, piece, shapes)
        inside = visible
        if overhang_mm:
            low, high = np.zeros(2), np.array(size_mm)
            inside, _ = within(visible, np.zeros(visible.shape[:2], dtype=np.int64), low, high)
        low, high = self.frame
        past = np.asarray(((corners < low - 1e-7) | (corners > high + 1e-7)).any(axis=(1, 2)), dtype=np.bool_)
        kind = np.array([place.shape for place in self.pattern.cell])
        down = np.array([place.face_down for place in self.pattern.cell])
        return Panel(
            *(self.pattern, shapes, stacks, *size_mm, glue_mm, overhang_mm),
            *(kind[piece], self.turns[piece], down[piece], shift, corners, past),
            *(np.abs(areas(inside)), cell, piece, visible, outline, edge),
        )

    def seen(self, corners: Floats, piece: Whole, shapes: tuple[Shape, ...]) -> tuple[Floats, Whole, Flags]:
        """What of each piece lies in the frame, counter-clockwise; its edges; whether there is any."""
        down = np.array([place.face_down for place in self.pattern.cell])[piece]
        points = np.where(down[:, None, None], corners[:, ::-1], corners)
        edge = np.where(down[:, None], np.array([2, 1, 0, 3]), np.arange(4))
        low, high = self.frame
        cut = np.nonzero(((points < low) | (points > high)).any(axis=(1, 2)))[0]
        parts, part_edges = within(points[cut], edge[cut], low, high)
        points, edge = widened(points, edge, max(4, parts.shape[1]))
        points[cut], edge[cut] = widened(parts, part_edges, points.shape[1])
        points = np.asarray(np.round(points, DECIMALS), dtype=np.float64)
        whole = np.array([shapes[place.shape].area_mm2 for place in self.pattern.cell])[piece]
        return points, edge, areas(points) > DUST * whole


def _rows(corners: Floats) -> Whole:
    """The order of pieces by rows from the top, then from left to right, by their middles when whole."""
    middle = middles(corners) if len(corners) else corners.mean(axis=1)
    down = np.argsort(-middle[:, 1], kind="stable")
    new_row = np.diff(middle[down, 1], prepend=np.inf) < -1e-6
    row = np.empty(len(middle), dtype=np.int64)
    row[down] = np.cumsum(new_row)
    return np.lexsort((middle[:, 0], row))
