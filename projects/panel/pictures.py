"""The drawings of a design. What would be too heavy for a page is drawn in part, and the page says so."""

import math
import re
from dataclasses import dataclass, replace
from functools import lru_cache

from projects.panel import light
from projects.panel.design import laid_out, seams_of
from workshop.drawn import drawn

MOST_DRAWN, MOST_LETTERED = 3_500, 1_500  # pieces on one drawing, and with a number on each


@dataclass(frozen=True)
class Picture:
    """A drawing, and how many of the pieces it shows where it does not show all."""

    svg: str
    shown: int | None
    lit: int
    pieces: int


@lru_cache(maxsize=16)
def panel_picture(design, tints, look):
    """The panel as it is looked at."""
    from projects.geometry.drawing import panel_svg
    from projects.geometry.seam_drawing import with_seams

    part, corner = part_of(design, MOST_LETTERED if look.numbers else MOST_DRAWN)
    panel = laid_out(part)
    bright = None
    eye = eye_of(design, look)
    whole = light.seen(design, tints, eye, look.lean_deg) if look.lamp == "on" else None
    if whole is not None:
        bright = whole if part is design else light.seen(part, tints, moved(eye, corner), look.lean_deg)
    svg = panel_svg(panel, numbers=look.numbers and part is design, arrows=look.arrows, brightness=bright)
    if look.seams:
        svg = with_seams(svg, panel, seams_of(part), numbers=look.numbers and part is design)
    if look.numbers:
        svg = in_true_size(svg)
    lit = 0 if whole is None else int((whole > 0).sum())
    pieces = len(laid_out(design).number)
    return Picture(drawn(svg), None if part is design else len(panel.number), lit, pieces)


def eye_of(design, look):
    """Where the eye is in the panel's frame: at the height of its middle."""
    return (design.width_mm / 2 + look.eye_x_mm, design.height_mm / 2, float(look.eye_z_mm))


def moved(eye, corner):
    """The same eye in the frame of a part."""
    return (eye[0] - corner[0], eye[1] - corner[1], eye[2])


def part_of(design, most):
    """The design, or its middle as a design of its own where it has more pieces; and where that begins."""
    pieces = len(laid_out(design).number)
    if pieces <= most:
        return design, (0.0, 0.0)
    share = math.sqrt(0.9 * most / pieces)
    wide, high = design.width_mm * share, design.height_mm * share
    corner = ((design.width_mm - wide) / 2, (design.height_mm - high) / 2)
    origin = design.origin or (design.width_mm / 2, design.height_mm / 2)
    moved_to = (origin[0] - corner[0], origin[1] - corner[1])
    return replace(design, width_mm=wide, height_mm=high, origin=moved_to, overhang_mm=0.0), corner


def above_pictures(design, sight, look, feet):
    """The view from above at the widths of the page; of plumb strips only, open alike both ways."""
    from projects.geometry.above import above_svg

    if look.lean_deg:
        return {}
    eye = (look.eye_x_mm, look.eye_z_mm)
    return {
        media: drawn(above_svg(design.width_mm, eye, sight.cutoff_deg, sight.glow_mm, media, feet))
        for media in ("narrow", "wide")
    }


def in_true_size(svg):
    """A drawing that says its own width, so that a narrow screen moves over it and does not shrink it."""
    wide, high = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups()
    return svg.replace("<svg ", f'<svg width="{wide}" height="{high}" ', 1)
