"""Every strip of every piece of a panel as a polygon: for paper, and to compare with other tools."""

import numpy as np

from projects.geometry.clipping import Floats, Whole, areas, kept
from projects.geometry.panel import Panel


def strip_shapes(panel: Panel) -> tuple[Floats, Whole]:
    """What of each strip is seen in each piece.

    Parameters: panel.
    Returns: polygons of shape (strips, corners, 2), counter-clockwise, padded by repeating the first corner;
    and for each of them the index of its piece.
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.stack import Stack
    >>> shapes, piece = strip_shapes(lay_out(basket(40), 80, 80, Stack(), origin=(0, 0)))
    >>> len(shapes), float(areas(shapes).sum())
    (44, 3200.0)
    """
    normal, offset = panel.stripe_normal, panel.stripe_offset_mm
    pitch = panel.pitch_mm[panel.shape]
    half = np.array([stack.strip_mm / 2 for stack in panel.stacks])[panel.shape]
    reach = (panel.padded_mm * normal[:, None]).sum(axis=2) - offset[:, None]
    first = np.ceil((reach.min(axis=1) - half) / pitch - 1e-9).astype(np.int64)
    last = np.floor((reach.max(axis=1) + half) / pitch + 1e-9).astype(np.int64)
    count = last - first + 1
    piece = np.repeat(np.arange(len(count)), count)
    step = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count) + first[piece]
    centre = offset[piece] + step * pitch[piece]
    points, tags = panel.padded_mm[piece], np.zeros((len(piece), panel.padded_mm.shape[1]), dtype=np.int64)
    points, tags = kept(points, tags, normal[piece], centre + half[piece])
    points, tags = kept(points, tags, -normal[piece], half[piece] - centre)
    real = areas(points) > 1e-12
    return points[real], piece[real]
