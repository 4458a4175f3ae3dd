"""Pieces that are laid together: a row, a ring or repeat, a bar."""

import itertools
from collections.abc import Sequence

import numpy as np

from projects.geometry.clipping import middles
from projects.geometry.panel import Panel

# two pieces of one row may lie apart by rounding, and by what their glue lines take off unequal shapes
SAME_ROW_MM = 1e-6


def rows(panel: Panel) -> list[tuple[int, ...]]:
    """The place numbers of each row, from the top, each from left to right.

    Parameters: panel.
    Returns: one tuple of numbers for each row.

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.stack import Stack
    >>> rows(lay_out(basket(40), 120, 80, Stack(), origin=(0, 0)))
    [(1, 2, 3), (4, 5, 6)]
    """
    if not len(panel.number):
        return []
    high = middles(panel.corners_mm)[:, 1]
    new = np.abs(np.diff(high)) > SAME_ROW_MM + panel.glue_mm
    return [tuple(part.tolist()) for part in np.split(panel.number, np.nonzero(new)[0] + 1)]


def repeats(panel: Panel) -> list[tuple[int, ...]]:
    """The place numbers of each ring or repeat, in the order of their first numbers.

    Parameters: panel.
    Returns: one tuple of numbers for each repeat of the pattern that can be seen.

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.squares import squares
    >>> from projects.geometry.stack import Stack
    >>> repeats(lay_out(squares(60), 120, 60, Stack(), origin=(30, 30)))
    [(1, 3, 4, 7), (2, 5, 6, 8)]
    """
    return _together(panel.cell.tolist())


def by_bar(bars: Sequence[int]) -> list[tuple[int, ...]]:
    """The place numbers of the pieces of each bar, the first bar first.

    Parameters: bars, for each piece in the order of its number the number of its bar.
    Returns: one tuple of numbers for each bar that gives a piece.

    >>> by_bar([2, 1, 2])
    [(2,), (1, 3)]
    """
    groups = _together(bars)
    return sorted(groups, key=lambda group: bars[group[0] - 1])


def _together(keys: Sequence[int]) -> list[tuple[int, ...]]:
    """The numbers, from 1, of equal keys together, in the order of their first ones."""
    order = sorted(range(len(keys)), key=lambda index: (keys[index], index))
    groups = itertools.groupby(order, key=lambda index: keys[index])
    return sorted(tuple(index + 1 for index in own) for _, own in groups)
