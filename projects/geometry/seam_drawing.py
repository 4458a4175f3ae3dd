"""Seams laid over the drawing of a panel: where lines meet, where they end, where they jump."""

import numpy as np

from projects.geometry.clipping import Floats
from projects.geometry.panel import Panel
from projects.geometry.panel_drawing import placed
from projects.geometry.seams import Seams
from workshop.drawing.svg import element, line

# kinds in the order of drawing; the loudest last
LOOKS: tuple[tuple[tuple[str, ...], str, float, str | None], ...] = (
    (("meet",), "paper", 0.7, None),
    (("end", "differ"), "strip", 0.9, "3 2"),
    (("along",), "flame", 1.2, None),
)


def with_seams(drawing: str, panel: Panel, seams: Seams, *, numbers: bool = False) -> str:
    """A panel's drawing with its seams over it, one look for each kind.

    Parameters: drawing, from panel_svg; panel; seams, of that panel; numbers, as panel_svg was told.
    Returns: an SVG element.

    >>> from projects.geometry.drawing import panel_svg
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.squares import squares
    >>> from projects.geometry.seams import find_seams
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(squares(60), 120, 60, Stack(), origin=(30, 30))
    >>> with_seams(panel_svg(panel), panel, find_seams(panel)).count('fill="none"/><path') > 0
    True
    """
    start, end = seams.start_mm, seams.start_mm + seams.along * seams.length_mm[:, None]
    layers = []
    for kinds, ink, width, dashes in LOOKS:
        own = np.isin(seams.kind, kinds)
        if own.any():
            path = _segments(placed(panel, start[own], numbers), placed(panel, end[own], numbers))
            layers.append(element("path", d=path, **line(ink, width, dashes, also="seam")))
    return drawing.removesuffix("</svg>") + element("g", *layers) + "</svg>"


def _segments(start: Floats, end: Floats) -> str:
    """The path of many short lines, each drawn from where it begins."""
    first = np.round(start, 1)
    step = np.round(np.round(end, 1) - first, 1) + 0.0
    rows = zip((first + 0.0).tolist(), step.tolist(), strict=True)
    return "".join(f"M{x:g} {y:g}l{across:g} {down:g}" for (x, y), (across, down) in rows)
