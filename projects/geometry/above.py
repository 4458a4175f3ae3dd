"""A panel and the eye before it, seen from above to one scale: from where it glows."""

import math
from typing import Literal

from materials.science.errors import checked
from workshop.drawing.svg import (
    element,
    figure,
    fill,
    line,
    number,
    picture,
    rectangles,
    text_width,
    words,
)

Media = Literal["narrow", "wide"]
# width and height of the drawing in units, where its floor lies
SIZES: dict[Media, tuple[float, float]] = {"narrow": (358, 150), "wide": (560, 190)}
LEFT, FOOT, THICK, ROUND_MM = 14, 40, 9, 500
FOOT_MM = 304.8


def above_svg(
    width_mm: float,
    eye_mm: tuple[float, float],
    cutoff_deg: float,
    glow_mm: float,
    media: Media = "wide",
    feet: bool = False,
) -> str:
    """The panel, the eye, and from where all of the panel glows, seen from above.

    Parameters: width_mm, of the panel; eye_mm, to the right of its middle and in front of its face;
    cutoff_deg, of its cone of view; glow_mm, the distance from which all of it glows; media, "narrow" or
    "wide"; feet, whether distances are said in feet rather than metres.
    Returns: an SVG element.
    Raises: OutOfRange.

    >>> above_svg(600, (-400, 1900), 17.7, 940).split('aria-label="')[1].split('"')[0]
    'From above: you stand 0.4 m left of the middle and 1.9 m back; from 0.94 m back all of the panel glows.'
    """
    checked("width_mm", width_mm, 0.01, 100_000, "mm")
    checked("eye_z_mm", eye_mm[1], 1, 100_000, "mm")
    checked("cutoff_deg", cutoff_deg, 0, 90, "°")
    wide, high = SIZES[media]
    unit_mm, unit = (FOOT_MM, "ft") if feet else (1000.0, "m")
    reach_mm = max(4000.0, eye_mm[1] + 400, min(glow_mm * 1.25, 12_000))
    scale = (wide - LEFT) / reach_mm
    floor = high - FOOT
    middle = floor / 2
    eye = (LEFT + eye_mm[1] * scale, min(max(middle + eye_mm[0] * scale, 9), floor - 9))
    half = max(width_mm * scale / 2, 4)
    slope = math.tan(math.radians(min(cutoff_deg, 80)))
    zones = _zones((wide, floor), middle, half, slope, LEFT + min(glow_mm, 10 * reach_mm) * scale)
    rays = f"M{_point(*eye)}L{_point(LEFT, middle - half)}M{_point(*eye)}L{_point(LEFT, middle + half)}"
    parts = [
        *zones,
        element("path", d=rays, **line("edge", 1, "2 4")),
        _panel(middle, half),
        *_axis(wide, floor, scale, reach_mm, unit_mm, unit),
        *_glow_mark(
            LEFT + glow_mm * scale, wide, floor, f"all of it from {figure(glow_mm / unit_mm)} {unit}"
        ),
        element("circle", cx=eye[0], cy=eye[1], r=9, **fill("ink")),
        element("circle", cx=eye[0] - 2, cy=eye[1], r=3.4, **fill("resin")),
        words(*_beside(eye, wide), "you", anchor="end" if eye[0] > wide - 60 else None),
    ]
    return picture(
        (wide, high), *parts, sentence=_sentence(eye_mm, glow_mm, unit_mm, unit), class_="draw above"
    )


def _point(x: float, y: float) -> str:
    return f"{number(x)} {number(y)}"


def _zones(box: tuple[float, float], middle: float, half: float, slope: float, glow: float) -> list[str]:
    """Where some of the panel glows, and where all of it does, cut at the drawing's edges."""
    wide, floor = box
    found = []
    for start, rim, ink in ((float(LEFT), half, "strip"), (glow, 0.0, "glow")):
        if start >= wide:
            continue
        corners = [(start, middle - rim)]
        for side in (-1, 1):
            edge = middle + side * (rim + slope * (wide - start))
            limit = 0.0 if side < 0 else floor
            far = [(wide, edge)]
            if not 0 <= edge <= floor:
                reach = start + (abs(limit - middle) - rim) / slope
                far = [(reach, limit), (wide, limit)]
            corners += far if side < 0 else far[::-1]
        corners.append((start, middle + rim))
        outline = "L".join(_point(*corner) for corner in corners)
        found.append(element("path", d=f"M{outline}z", **fill(ink)))
    return found


def _panel(middle: float, half: float) -> str:
    """The panel from above: resin with its strips."""
    box = (LEFT - THICK, middle - half, THICK, 2 * half)
    count = max(1, int(half / 2))
    strips = [(LEFT - THICK, middle - half + 4 * n, THICK, 2) for n in range(count)]
    return element("path", d=rectangles([box]), **fill("resin")) + element(
        "path", d=rectangles(strips), **fill("lam")
    )


def _axis(wide: float, floor: float, scale: float, reach_mm: float, unit_mm: float, unit: str) -> list[str]:
    """Distances from the panel, at round values that have room."""
    apart = next(step for step in (1, 2, 5, 10, 20, 50) if step * unit_mm * scale > 44)
    parts = [element("path", d=f"M{LEFT} {number(floor)}H{number(wide)}", **line("wood", 2))]
    for value in range(0, int(reach_mm / unit_mm) + 1, apart):
        x = LEFT + value * unit_mm * scale
        parts.append(element("path", d=f"M{number(x)} {number(floor)}v-7", **line("wood")))
        said = f"{value} {unit}" if value else "0"
        anchor = "end" if x > wide - 16 else "middle" if value else "start"
        parts.append(words(min(x, wide), floor + 17, said, anchor=anchor, quiet=True))
    return parts


def _glow_mark(x: float, wide: float, floor: float, said: str) -> list[str]:
    """A tick at the distance from which all of it glows, with its words under the axis."""
    if x > wide:
        return []
    at = min(x, wide - text_width(said))
    return [
        element("path", d=f"M{number(x)} {number(floor)}v-14", **line("ink", 2)),
        words(max(0, at), floor + 34, said),
    ]


def _beside(eye: tuple[float, float], wide: float) -> tuple[float, float]:
    return (eye[0] - 15 if eye[0] > wide - 60 else eye[0] + 15), eye[1] + 5


def _sentence(eye_mm: tuple[float, float], glow_mm: float, unit_mm: float, unit: str) -> str:
    side = "right" if eye_mm[0] > 0 else "left"
    across = f"{figure(abs(eye_mm[0]) / unit_mm)} {unit} {side} of the middle"
    stand = "in front of the middle" if eye_mm[0] == 0 else across
    return (
        f"From above: you stand {stand} and {figure(eye_mm[1] / unit_mm)} {unit} back; "
        f"from {figure(glow_mm / unit_mm)} {unit} back all of the panel glows."
    )
