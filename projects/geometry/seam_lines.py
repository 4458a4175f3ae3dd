"""Where pieces of a panel touch: edges on one line, seen from both sides, and where they overlap."""

from typing import NamedTuple

import numpy as np

from projects.geometry.clipping import Flags, Floats, Whole
from projects.geometry.panel import Panel

# two directions, in degrees, and two parallel lines, in mm, that are closer than this are one
SAME_DEG, SAME_LINE_MM = 1e-6, 1e-6
# shorter contacts, in mm, are corners
LEAST_SEAM_MM = 1e-7
# a side shorter than this, in mm, is a corner of a triangle or a rounding
LEAST_SIDE_MM = 1e-9


class Contacts(NamedTuple):
    """Where two pieces touch: one entry per seam in every array.

    Parameters: left and right, the pieces on either side, walking along the seam; start_mm, where it
    begins; along, its direction; length_mm.
    """

    left: Whole
    right: Whole
    start_mm: Floats
    along: Floats
    length_mm: Floats


def contacts(panel: Panel) -> Contacts:
    """Every stretch along which two pieces of a panel touch.

    Parameters: panel.
    Returns: Contacts; a long edge beside several short ones gives several.
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.stack import Stack
    >>> found = contacts(lay_out(basket(40), 80, 80, Stack(), origin=(0, 0)))
    >>> len(found.left), float(found.length_mm.sum())
    (4, 160.0)
    """
    piece, edge, start, end = _sides(panel)
    direction, units = _directions(panel, piece, edge)
    along = units.take(direction, axis=0)
    x, y = along.T
    begin, finish = start[:, 0] * x + start[:, 1] * y, end[:, 0] * x + end[:, 1] * y
    line = _lines(direction, x * start[:, 1] - y * start[:, 0])
    on_left = finish > begin  # pieces run counter-clockwise: one that walks along lies on the left
    low, high = np.minimum(begin, finish), np.maximum(begin, finish)
    left, right = _overlaps(line, low, high, on_left)
    from_mm, to_mm = np.maximum(low[left], low[right]), np.minimum(high[left], high[right])
    # the left side walks along, so that the seam's place is counted from where that side begins
    place = start[left] + (from_mm - begin[left])[:, None] * along[left]
    return Contacts(piece[left], piece[right], place, along[left], to_mm - from_mm)


def _sides(panel: Panel) -> tuple[Whole, Whole, Floats, Floats]:
    """Every side that is an edge of its piece, not of the frame: piece, edge, where it begins and ends."""
    begins, ends = panel.outline_mm, np.roll(panel.outline_mm, -1, axis=1)
    reach = np.abs(ends[..., 0] - begins[..., 0]) + np.abs(ends[..., 1] - begins[..., 1])
    real = (panel.edge >= 0) & (reach > LEAST_SIDE_MM)
    place = np.flatnonzero(real)
    piece = np.repeat(np.arange(len(real)), real.sum(axis=1))
    start, end = (corners.reshape(-1, 2).take(place, axis=0) for corners in (begins, ends))
    return piece, panel.edge.ravel().take(place), start, end


def _directions(panel: Panel, piece: Whole, edge: Whole) -> tuple[Whole, Floats]:
    """Which direction each side has, and each direction's unit vector: from the shapes, not from corners.

    A clipped side may be shorter than the rounding of its corners, and then points anywhere.
    """
    places = panel.pattern.cell
    bars = np.array([[0.0, shape.right_deg, 0.0, shape.left_deg] for shape in panel.pattern.shapes])
    turn = np.zeros(len(places))
    turn[panel.place] = panel.turn_deg
    in_bar = bars[[place.shape for place in places]]
    side = np.array([-1 if place.face_down else 1 for place in places])
    values, index = np.unique(np.mod(turn[:, None] + side[:, None] * in_bar, 180), return_inverse=True)
    group: Whole = np.asarray(np.cumsum(np.diff(values, prepend=values[:1]) > SAME_DEG), dtype=np.int64)
    if values[0] + 180 - values[-1] < SAME_DEG:  # just below 180 is just below 0
        group[group == group[-1]] = 0
    first = np.radians(values[np.unique(group, return_index=True)[1]])
    of_place = group[index.reshape(in_bar.shape)]
    return of_place[panel.place[piece], edge], np.stack([np.cos(first), np.sin(first)], axis=1)


def _lines(direction: Whole, offset_mm: Floats) -> Whole:
    """A number for each line: sides of one direction and one distance from the origin."""
    if not len(offset_mm):
        return direction
    # directions far apart on one scale, so that one sort does for both
    key = direction * (np.ptp(offset_mm) + 10) + offset_mm
    order = np.argsort(key)
    line = np.empty(len(order), dtype=np.int64)
    line[order] = np.cumsum(np.diff(key[order], prepend=-np.inf) > SAME_LINE_MM)
    return line


def _overlaps(line: Whole, low: Floats, high: Floats, on_left: Flags) -> tuple[Whole, Whole]:
    """Every pair of a left and a right side that overlap on their line, as indices.

    Sides on one hand of a line never overlap each other, so that each list is in order along all lines.
    """
    if not len(line):
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    bottom = float(low.min())
    apart = line * (float(high.max()) - bottom + 1) - bottom  # lines laid end to end
    begin, finish = apart + low, apart + high
    order = np.argsort(begin)
    left, right = order[on_left[order]], order[~on_left[order]]
    first = np.searchsorted(finish[right], begin[left] + LEAST_SEAM_MM, side="right")
    last = np.searchsorted(begin[right], finish[left] - LEAST_SEAM_MM, side="left")
    count = np.maximum(last - first, 0)
    steps = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    return np.repeat(left, count), right[np.repeat(first, count) + steps]
