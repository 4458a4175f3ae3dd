"""Panels for tests, and panels as other tools see them."""

import numpy as np
import shapely

from projects.geometry.panel import lay_out
from projects.geometry.patterns.registry import EXAMPLES, PATTERNS
from projects.geometry.stack import Stack

NAMES = list(PATTERNS)
# width, height, turn: square to the frame, at an odd angle, on the diagonal
PANELS = [(600, 400, 0), (317.3, 211.9, 17), (300, 300, 45)]
GRID = 1e-7


def example(name, scale=1.0):
    """A pattern at the sizes to begin with, or at a scale of them (counts and angles kept)."""
    sizes = [
        size if (name, place) in {("zigzag", 2), ("hexrings", 1), ("herringbone", 1)} else size * scale
        for place, size in enumerate(EXAMPLES[name])
    ]
    return PATTERNS[name](*sizes)


def panel_of(name, width_mm=600, height_mm=400, turn_deg=0, scale=1.0, **more):
    return lay_out(example(name, scale), width_mm, height_mm, Stack(), turn_deg=turn_deg, **more)


def polygons(panel):
    """What is seen of each piece, as shapely polygons."""
    return [shapely.Polygon(points) for points in panel.visible_mm]


def angle_sums(pieces, width_mm, height_mm):
    """At every inner corner, the angles that meet there; where a corner touches a side, 180 more.

    Built from shapely's polygons alone: every corner of one piece is looked up in all others.
    """
    corners = np.concatenate([np.array(piece.exterior.coords)[:-1] for piece in pieces])
    inner = corners[
        (corners > 1e-6).all(axis=1) & (corners < np.array([width_mm, height_mm]) - 1e-6).all(axis=1)
    ]
    spots = np.unique(inner.round(5), axis=0)
    tree = shapely.STRtree(pieces)
    near, which = tree.query(shapely.points(spots), predicate="dwithin", distance=1e-4)
    sums = np.zeros(len(spots))
    for spot, piece in zip(near, which, strict=True):
        sums[spot] += _angle_at(np.array(pieces[piece].exterior.coords)[:-1], spots[spot])
    return sums


def _angle_at(ring, spot):
    gaps = np.hypot(*(ring - spot).T)
    if gaps.min() > 1e-4:
        return 180.0
    place = int(gaps.argmin())
    back, ahead = ring[place - 1] - ring[place], ring[(place + 1) % len(ring)] - ring[place]
    turn = np.arctan2(ahead[0] * back[1] - ahead[1] * back[0], ahead @ back)
    return float(np.degrees(turn))
