"""Many convex polygons cut off along straight lines at once.

A polygon is a row of corners, padded by repeating its first corner so that all have one length. Each corner
carries the tag of the edge that begins at it: what a cut lays open, and padding, is tagged CUT.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
CUT = -1
# a corner this close to a line, in mm, lies on it
ON_LINE_MM = 1e-9


def kept(points: Floats, tags: Whole, normals: Floats, limits: Floats) -> tuple[Floats, Whole]:
    """What is left of each polygon where normal · x is at most its limit (one line each, or one for all).

    Parameters: points, of shape (polygons, corners, 2), in mm; tags, one per corner; normals, of shape
    (polygons or 1, 2); limits, of shape (polygons or 1).
    Returns: points and tags again, in as many columns as needed; a polygon cut away whole has no area.

    >>> square = np.array([[[0.0, 0], [4, 0], [4, 4], [0, 4]]])
    >>> left, _ = kept(square, np.arange(4)[None], np.array([[1.0, 0]]), np.array([3.0]))
    >>> float(areas(left)[0])
    12.0
    """
    inside_by = limits[:, None] - points[..., 0] * normals[:, None, 0] - points[..., 1] * normals[:, None, 1]
    inside_by = np.where(np.abs(inside_by) < ON_LINE_MM, 0.0, inside_by)
    inside = inside_by >= 0
    following = np.r_[1 : points.shape[1], 0]
    ahead_by, ahead, ahead_in = inside_by[:, following], points[:, following], inside[:, following]
    crossed = inside != ahead_in
    span = np.where(crossed, inside_by - ahead_by, 1.0)
    crossing = points + (inside_by / span)[..., None] * (ahead - points)
    shape = (len(points), 2 * points.shape[1])
    both, both_tags, keep = (
        np.empty((*shape, 2)),
        np.empty(shape, dtype=np.int64),
        np.empty(shape, dtype=np.bool_),
    )
    both[:, ::2], both[:, 1::2] = points, crossing
    both_tags[:, ::2], both_tags[:, 1::2] = tags, np.where(inside, CUT, tags)
    keep[:, ::2], keep[:, 1::2] = inside, crossed
    return packed(both, both_tags, keep)


def widened(points: Floats, tags: Whole, columns: int) -> tuple[Floats, Whole]:
    """The same polygons in more columns.

    Parameters: points and tags as for `kept`; columns, at least as many as there are.

    >>> widened(np.zeros((1, 3, 2)), np.arange(3)[None], 5)[1]
    array([[ 0,  1,  2, -1, -1]])
    """
    more = columns - points.shape[1]
    if not more:
        return points, tags
    longer = np.concatenate([points, np.repeat(points[:, :1], more, axis=1)], axis=1)
    return longer, np.pad(tags, ((0, 0), (0, more)), constant_values=CUT)


def packed(points: Floats, tags: Whole, keep: Flags) -> tuple[Floats, Whole]:
    """The kept corners of each polygon, moved together and padded again.

    Parameters: points and tags as for `kept`; keep, which corners stay.
    Returns: points and tags; a polygon of which nothing is kept collapses into a point.

    >>> line = np.array([[[0.0, 0], [9, 9], [4, 0]]])
    >>> packed(line, np.arange(3)[None], np.array([[True, False, True]]))[1]
    array([[0, 2]])
    """
    place = np.cumsum(keep, axis=1)
    columns = max(1, int(place[:, -1].max(initial=1)))
    rows, corners = np.nonzero(keep)
    slot = place[rows, corners] - 1
    # the first kept corner everywhere, then all kept ones where they belong
    first = points[np.arange(len(points)), np.argmax(keep, axis=1)]
    packed_points = np.repeat(first[:, None], columns, axis=1)
    packed_tags = np.full((len(points), columns), CUT, dtype=np.int64)
    packed_points[rows, slot], packed_tags[rows, slot] = points[rows, corners], tags[rows, corners]
    return packed_points, packed_tags


def within(points: Floats, tags: Whole, low: Floats, high: Floats) -> tuple[Floats, Whole]:
    """What is left of each polygon inside a rectangle.

    Parameters: points and tags as for `kept`; low and high, two opposite corners, in mm.

    >>> square = np.array([[[0.0, 0], [4, 0], [4, 4], [0, 4]]])
    >>> left, _ = within(square, np.arange(4)[None], np.array([1.0, 1]), np.array([9.0, 3]))
    >>> float(areas(left)[0])
    6.0
    """
    for normal, limit in (((-1, 0), -low[0]), ((1, 0), high[0]), ((0, -1), -low[1]), ((0, 1), high[1])):
        points, tags = kept(points, tags, np.array([normal], dtype=np.float64), np.array([limit]))
    return points, tags


def areas(points: Floats) -> Floats:
    """The area of each polygon, negative for one that runs clockwise.

    Parameters: points, of shape (polygons, corners, 2).
    Returns: one area each, in the square of the points' unit.

    >>> areas(np.array([[[0.0, 0], [4, 0], [4, 4], [0, 4]]]))
    array([16.])
    """
    x, y = np.moveaxis(points - points[:, :1], 2, 0)
    return np.asarray((x * np.roll(y, -1, axis=1) - np.roll(x, -1, axis=1) * y).sum(axis=1) / 2)


def middles(points: Floats) -> Floats:
    """The centre of area of each polygon.

    Parameters: points, of shape (polygons, corners, 2), each with an area.
    Returns: of shape (polygons, 2), in the points' unit.

    >>> middles(np.array([[[0.0, 0], [4, 0], [4, 2], [0, 2]]]))
    array([[2., 1.]])
    """
    first = points[:, :1]
    x, y = np.moveaxis(points - first, 2, 0)
    next_x, next_y = np.roll(x, -1, axis=1), np.roll(y, -1, axis=1)
    cross = x * next_y - next_x * y
    weight = 3 * cross.sum(axis=1)
    centre = np.stack([((x + next_x) * cross).sum(axis=1), ((y + next_y) * cross).sum(axis=1)], axis=1)
    return np.asarray(first[:, 0] + centre / weight[:, None])
