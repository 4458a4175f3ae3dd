"""Seams of a panel: whether stripes meet across them, and how exact the saw must be for that."""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from materials.science.errors import checked
from projects.geometry.clipping import Flags, Floats, Whole
from projects.geometry.panel import Panel
from projects.geometry.saw import Saw
from projects.geometry.seam_lines import contacts

KINDS = ("meet", "differ", "end", "along")
PARALLEL = 1e-6
# the angle at which one cut can no longer be blamed on the gauge: no limit is given from there
NO_LIMIT_DEG = 45


@dataclass(frozen=True, eq=False)
class Seams:
    """Every seam of a panel; one entry per seam in every array.

    Parameters: left and right, the pieces on either side, as indices into the panel's arrays; start_mm and
    along, where a seam begins and its direction; length_mm; kind, "meet" (stripes cross it at one period),
    "differ" (at two periods, which never match), "end" (one side's stripes run along it) or "along" (both
    do); offset_mm, how far stripes miss each other along a "meet" seam, or the jump of the pitch across an
    "along" seam, not a number for the others; left_sine and right_sine, of the angle between stripes and
    seam.

    >>> from projects.geometry.patterns.hexagons import hexagons
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.stack import Stack
    >>> seams = find_seams(lay_out(hexagons(40), 600, 400, Stack()))
    >>> seams.counts(), round(float(seams.length_mm.sum()), 3)
    ({'meet': 350, 'differ': 0, 'end': 0, 'along': 180}, 20456.406)
    """

    left: Whole
    right: Whole
    start_mm: Floats
    along: Floats
    length_mm: Floats
    kind: NDArray[np.str_]
    offset_mm: Floats
    left_sine: Floats
    right_sine: Floats

    @cached_property
    def left_deg(self) -> Floats:
        """The angle between the seam and the stripes on its left, 0 to 90."""
        return np.asarray(np.degrees(np.arcsin(np.minimum(1, self.left_sine))))

    @cached_property
    def right_deg(self) -> Floats:
        """The angle between the seam and the stripes on its right, 0 to 90."""
        return np.asarray(np.degrees(np.arcsin(np.minimum(1, self.right_sine))))

    def counts(self) -> dict[str, int]:
        """How many seams of each kind there are.

        >>> from projects.geometry.patterns.cubes import cubes
        >>> from projects.geometry.panel import lay_out
        >>> from projects.geometry.stack import Stack
        >>> find_seams(lay_out(cubes(30), 200, 200, Stack())).counts()["meet"]
        0
        """
        return {kind: int((self.kind == kind).sum()) for kind in KINDS}

    @cached_property
    def meeting(self) -> Flags:
        """Which seams are crossed by stripes that can meet."""
        return np.asarray(self.kind == "meet")


def find_seams(panel: Panel) -> Seams:
    """Every seam of a panel, its kind and how stripes match across it.

    Parameters: panel.
    Returns: Seams.
    Valid for: the sizes as planned; errors of the saw come on top (tolerance_budget).
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.stack import Stack
    >>> find_seams(lay_out(basket(40), 80, 80, Stack(), origin=(0, 0))).counts()["end"]
    4
    """
    found = contacts(panel)
    left, right = (_Side(panel, piece, found.start_mm, found.along) for piece in (found.left, found.right))
    equal = np.abs(np.abs(left.sine) * right.pitch_mm - np.abs(right.sine) * left.pitch_mm)
    same_pitch = np.abs(left.pitch_mm - right.pitch_mm) < PARALLEL
    both, either = left.parallel & right.parallel, left.parallel | right.parallel
    differ = np.where(both, ~same_pitch, equal >= PARALLEL * left.pitch_mm)
    code = np.where(either & ~both, 2, np.where(differ, 1, np.where(both, 3, 0)))  # places in KINDS
    kind, meet, along = np.array(KINDS)[code], code == 0, code == 3
    offset = np.full(len(kind), np.nan)
    period = left.pitch_mm[meet] / np.abs(left.sine[meet])
    offset[meet] = wrapped(left.crossing_mm[meet] - right.crossing_mm[meet], period)
    across = left.ahead_mm[along] + right.behind_mm[along]
    offset[along] = wrapped(across, left.pitch_mm[along])
    return Seams(*found, kind, offset, np.abs(left.sine), np.abs(right.sine))


def wrapped(value_mm: Floats, period_mm: Floats) -> Floats:
    """How far values are from the nearest whole number of periods; a tie counts as + half a period.

    Parameters: value_mm; period_mm, one each.
    Returns: from just above -period/2 to +period/2.

    >>> wrapped(np.array([34.641, 2.0, -2.0]), np.array([4.0, 4.0, 4.0])).round(3)
    array([-1.359,  2.   ,  2.   ])
    """
    rest = value_mm - period_mm * np.ceil(value_mm / period_mm - 0.5 - 1e-9 / period_mm)
    return np.asarray(np.where(np.abs(rest) < 1e-12, 0.0, rest))


class _Side:
    """The stripes of the pieces on one side of each seam."""

    def __init__(self, panel: Panel, piece: Whole, start_mm: Floats, along: Floats) -> None:
        self.pitch_mm = panel.pitch_mm[panel.shape[piece]]
        (x, y), (along_x, along_y) = panel.stripe_normal.take(piece, axis=0).T, along.T
        self.sine = x * along_x + y * along_y
        self.parallel = np.abs(self.sine) < PARALLEL
        self._rest = panel.stripe_offset_mm[piece] - x * start_mm[:, 0] - y * start_mm[:, 1]
        # squarely across the seam, from its left to its right
        self._over = x * along_y - y * along_x

    @property
    def crossing_mm(self) -> Floats:
        """Where a stripe crosses the seam, from where the seam begins."""
        return np.asarray(self._rest / np.where(self.parallel, 1.0, self.sine))

    @property
    def ahead_mm(self) -> Floats:
        """From a stripe on the left of the seam to the seam, walking to the right."""
        return np.asarray(-self._rest * np.sign(self._over))

    @property
    def behind_mm(self) -> Floats:
        """From the seam to a stripe on its right."""
        return np.asarray(self._rest * np.sign(self._over))


def ring_gap(pieces: int, radius_mm: float, error_deg: float, faces: int = 2) -> tuple[float, float]:
    """What is left open when a ring is closed whose cuts are all off by the same angle.

    Parameters: pieces, in the ring; radius_mm, to its rim; error_deg, of the gauge; faces, how many cuts
    make the corner in the middle: 2 for triangles and trapezoids, 1 where the bar's own edge is one side.
    Returns: the angle left open in degrees, and the gap at the rim in mm.
    Raises: OutOfRange.
    Valid for: one gauge setting for all cuts.
    Source: geometry; needs none.

    >>> [round(gap, 4) for gap in ring_gap(6, 100, 0.1)]
    [1.2, 2.0944]
    """
    checked("pieces", pieces, 1, 1_000, "pieces")
    checked("radius_mm", radius_mm, 0.01, 100_000, "mm")
    checked("error_deg", error_deg, 0, 10, "°")
    checked("faces", faces, 1, 2, "cuts")
    open_deg = min(faces * pieces * error_deg, 180)
    return open_deg, 2 * radius_mm * math.sin(math.radians(open_deg) / 2)


def random_ring_gap_mm(pieces: int, radius_mm: float, sigma_deg: float, faces: int = 2) -> float:
    """The gap at the rim that one ring in twenty exceeds when each cut errs by chance.

    Parameters: pieces, radius_mm and faces as for ring_gap; sigma_deg, the spread of one cut.
    Returns: mm, at twice the spread.
    Raises: OutOfRange.
    Valid for: small, independent, normally spread errors.
    Source: the sum of independent errors; needs none.

    >>> round(random_ring_gap_mm(6, 100, 0.1), 4)
    1.2092
    """
    ring_gap(pieces, radius_mm, sigma_deg, faces)
    return 2 * radius_mm * math.radians(sigma_deg) * math.sqrt(faces * pieces)


@dataclass(frozen=True)
class Budget:
    """How exact the saw must be for a panel, and what it leaves as it is. None: nothing asks for it.

    Parameters: visible_mm, the step or gap that may be seen; seam_deg, the gauge, for stripes to meet along
    the longest seam; ring_deg, the gauge, for a ring to close; length_mm, the stop, for triangles pushed
    home; rip_mm, the width and phase of the bars; ring_gap_deg and ring_gap_mm, what this saw leaves open;
    gauge_ok and stop_ok, whether this saw is exact enough.

    >>> Budget(1, None, None, None, None, None, None, True, True).gauge_deg is None
    True
    """

    visible_mm: float
    seam_deg: float | None
    ring_deg: float | None
    length_mm: float | None
    rip_mm: float | None
    ring_gap_deg: float | None
    ring_gap_mm: float | None
    gauge_ok: bool
    stop_ok: bool

    @property
    def gauge_deg(self) -> float | None:
        """The stricter of both limits for the gauge, in degrees."""
        limits = [limit for limit in (self.seam_deg, self.ring_deg) if limit is not None]
        return min(limits, default=None)


def tolerance_budget(panel: Panel, seams: Seams, saw: Saw, visible_mm: float | None = None) -> Budget:
    """How exact gauge, stop and rips must be, and what this saw leaves open.

    Parameters: panel; seams, of that panel; saw; visible_mm, the step or gap that may be seen (None: half
    of the narrowest resin gap).
    Returns: a Budget.
    Raises: OutOfRange.
    Valid for: one error alone, the same in all cuts; the worst "meet" seam.
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.hexagons import hexagons
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(hexagons(60), 600, 400, Stack())
    >>> budget = tolerance_budget(panel, find_seams(panel), Saw())
    >>> round(budget.ring_deg, 4), round(budget.seam_deg, 2), budget.gauge_ok
    (0.0796, 1.65, False)
    """
    if visible_mm is None:
        visible_mm = min(stack.gap_mm or stack.strip_mm for stack in panel.stacks) / 2
    seen = checked("visible_mm", visible_mm, 1e-6, 1_000, "mm")
    ring, ring_deg = panel.pattern.ring, None
    gaps: tuple[float | None, float | None] = (None, None)
    if ring:
        ring_deg = math.degrees(2 * math.asin(min(1, seen / (2 * ring.radius_mm)))) / (
            ring.faces * ring.pieces
        )
        gaps = ring_gap(ring.pieces, ring.radius_mm, saw.angle_error_deg, ring.faces)
    gamma = np.radians(seams.left_deg[seams.meeting])
    seam_deg = rip_mm = None
    if len(gamma):
        steepest = np.max(seams.length_mm[seams.meeting] / np.tan(gamma))
        seam_deg = math.degrees(seen / steepest) if steepest > 1e-9 else None
        rip_mm = float(seen * np.sin(gamma).min() / 2)
    bases = [shape.left_deg for shape in panel.pattern.shapes if shape.handling == "roll"]
    length_mm = min((2 * seen * abs(math.cos(math.radians(base))) for base in bases), default=None)
    limits = [limit for limit in (seam_deg, ring_deg) if limit is not None]
    gauge_ok = saw.angle_error_deg <= min(limits, default=NO_LIMIT_DEG)
    stop_ok = length_mm is None or saw.length_error_mm <= length_mm
    return Budget(seen, seam_deg, ring_deg, length_mm, rip_mm, *gaps, gauge_ok, stop_ok)
