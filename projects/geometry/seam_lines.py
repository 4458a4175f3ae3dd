"""Where pieces of a panel touch: edges on one line, seen from both sides, and where they overlap."""

from typing import NamedTuple

import numpy as np

from projects.geometry.clipping import Flags, Floats, Whole
from projects.geometry.panel import Panel

# two directions, in degrees, and two parallel lines, in mm, that are closer than this are one
SAME_DEG, SAME_LINE_MM = 1e-6, 1e-6
# shorter contacts, in mm, are corners
LEAST_SEAM_MM = 1e-7


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
    piece, corner = np.nonzero(_sides(panel))
    start = panel.outline_mm[piece, corner]
    end = np.roll(panel.outline_mm, -1, axis=1)[piece, corner]
    direction, units = _directions(panel, piece, panel.edge[piece, corner])
    along = units[direction]
    begin, finish = (start * along).sum(axis=1), (end * along).sum(axis=1)
    line = _lines(direction, along[:, 0] * start[:, 1] - along[:, 1] * start[:, 0])
    on_left = finish > begin  # pieces run counter-clockwise: one that walks along lies on the left
    low, high = np.minimum(begin, finish), np.maximum(begin, finish)
    left, right = _overlaps(line, low, high, on_left)
    from_mm, to_mm = np.maximum(low[left], low[right]), np.minimum(high[left], high[right])
    # the seam begins where the later of both edges begins; its place is taken from that edge itself
    nearest = np.where(on_left[left], begin[left], finish[left])
    place = (
        np.where(on_left[left][:, None], start[left], end[left]) + (from_mm - nearest)[:, None] * along[left]
    )
    return Contacts(piece[left], piece[right], place, along[left], to_mm - from_mm)


def _sides(panel: Panel) -> Flags:
    """Which corners begin a side that is an edge of the piece, not of the frame, and has a length."""
    reach = np.abs(np.roll(panel.outline_mm, -1, axis=1) - panel.outline_mm).max(axis=2)
    return np.asarray((reach > 1e-9) & (panel.edge >= 0))


def _directions(panel: Panel, piece: Whole, edge: Whole) -> tuple[Whole, Floats]:
    """Which direction each side has, and each direction's unit vector: from the shapes, not from corners.

    A clipped side may be shorter than the rounding of its corners, and then points anywhere.
    """
    angles = np.array([[0.0, shape.right_deg, 0.0, shape.left_deg] for shape in panel.pattern.shapes])
    in_bar = angles[panel.shape[piece], edge]
    turn = panel.turn_deg[piece] + np.where(panel.face_down[piece], -in_bar, in_bar)
    values, index = np.unique(np.mod(turn, 180), return_inverse=True)
    group: Whole = np.asarray(np.cumsum(np.diff(values, prepend=values[:1]) > SAME_DEG), dtype=np.int64)
    if len(values) and values[0] + 180 - values[-1] < SAME_DEG:  # just below 180 is just below 0
        group[group == group[-1]] = 0
    first = np.radians(values[np.unique(group, return_index=True)[1]])
    return group[index], np.stack([np.cos(first), np.sin(first)], axis=1)


def _lines(direction: Whole, offset_mm: Floats) -> Whole:
    """A number for each line: sides of one direction and one distance from the origin."""
    order = np.lexsort((offset_mm, direction))
    new = (np.diff(direction[order], prepend=direction[order][:1]) != 0) | (
        np.diff(offset_mm[order], prepend=offset_mm[order][:1]) > SAME_LINE_MM
    )
    line = np.empty(len(order), dtype=np.int64)
    line[order] = np.cumsum(new)
    return line


def _overlaps(line: Whole, low: Floats, high: Floats, on_left: Flags) -> tuple[Whole, Whole]:
    """Every pair of a left and a right side that overlap on their line, as indices.

    Sides on one hand of a line never overlap each other, so that each list is in order along all lines.
    """
    if not len(line):
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    bottom = float(low.min())
    apart = line * (float(high.max()) - bottom + 1) - bottom  # lines laid end to end
    left, right = np.nonzero(on_left)[0], np.nonzero(~on_left)[0]
    right = right[np.argsort((apart + low)[right])]
    first = np.searchsorted((apart + high)[right], (apart + low)[left] + LEAST_SEAM_MM, side="right")
    last = np.searchsorted((apart + low)[right], (apart + high)[left] - LEAST_SEAM_MM, side="left")
    count = np.maximum(last - first, 0)
    steps = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    return np.repeat(left, count), right[np.repeat(first, count) + steps]
