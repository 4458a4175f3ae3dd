"""The drawing of a panel: every piece with its stripes, to scale, by daylight or lit from behind.

For screens each shape is drawn once, filled with a pattern of stripes, and used for every piece. On paper
pattern fills show the joints of their tiles, so that there each strip is a shape of its own.
"""

import hashlib
import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from materials.science.errors import checked
from projects.geometry.clipping import Floats, Whole
from projects.geometry.panel import Panel
from projects.geometry.patterns.base import Shape, cot
from projects.geometry.strip_shapes import strip_shapes
from workshop.drawing.svg import element, figure, fill, line, named, picture, rectangles

MARGIN, TEXT, LETTER = 8, 12, 6.6
LEVELS = 16
# the eye's answer to light, as screens have it; close enough for a picture
GAMMA = 1 / 2.2


def drawn(
    panel: Panel, *, numbers: bool, arrows: bool, brightness: NDArray[np.float64] | None, shapes: bool
) -> str:
    """The drawing itself; `panel_svg` is its door.

    Parameters: as for panel_svg; shapes, whether each strip is a shape of its own.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(basket(40), 80, 80, Stack(), origin=(0, 0))
    >>> drawn(panel, numbers=False, arrows=False, brightness=None, shapes=True).count("<path")
    3
    """
    if brightness is not None and len(brightness) != len(panel.number):
        raise ValueError(f"{len(brightness)} values of brightness for {len(panel.number)} pieces")
    view = _View(panel, brightness, numbers)
    parts = view.strips() if shapes else view.patterned()
    inner = [*parts, view.frame()]
    if arrows:
        inner.append(view.arrows())
    drawing = [element("g", *inner, transform=view.transform)]
    if numbers:
        drawing += view.numbers()
    return picture(view.size, *drawing, sentence=view.sentence(), class_="draw panel")


def placed(panel: Panel, points_mm: Floats, numbers: bool) -> Floats:
    """Where points of a panel lie in its drawing.

    Parameters: panel; points_mm, in the panel's frame; numbers, as panel_svg was told.
    Returns: drawing units, y down.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.stack import Stack
    >>> placed(lay_out(basket(40), 80, 80, Stack()), np.array([[0.0, 80.0]]), False).tolist()
    [[8.0, 8.0]]
    """
    return _View(panel, None, numbers).at(points_mm)


@dataclass(frozen=True, eq=False)
class _View:
    """How a panel is drawn: pieces in mm inside one turned-over group, text outside it."""

    panel: Panel
    brightness: NDArray[np.float64] | None
    lettered: bool

    @cached_property
    def scale(self) -> float:
        """Drawing units for one mm: more than 1 only where numbers need the room."""
        if not self.lettered:
            return 1.0
        least = math.sqrt(min(shape.area_mm2 for shape in self.panel.shapes))
        return max(1.0, 1.2 * LETTER * len(str(len(self.panel.number))) / least)

    @property
    def size(self) -> tuple[float, float]:
        over = 2 * self.panel.overhang_mm
        wide, high = (self.scale * (side + over) for side in (self.panel.width_mm, self.panel.height_mm))
        return wide + 2 * MARGIN, high + 2 * MARGIN

    def at(self, points: Floats) -> Floats:
        """Where points of the panel lie in the drawing."""
        x = MARGIN + self.scale * (points[..., 0] + self.panel.overhang_mm)
        y = MARGIN + self.scale * (self.panel.height_mm + self.panel.overhang_mm - points[..., 1])
        return np.stack([x, y], axis=-1)

    @property
    def transform(self) -> str:
        """From the panel, y up, to the drawing, y down."""
        x, y = self.at(np.zeros(2)).tolist()
        return f"matrix({self.scale:.6g} 0 0 {-self.scale:.6g} {x:.6g} {y:.6g})"

    @cached_property
    def prefix(self) -> str:
        """What the drawing's ids begin with: the same for the same drawing only."""
        panel = self.panel
        said = (panel.pattern, panel.stacks, *self.size, panel.glue_mm, panel.shift_mm[:1].tolist())
        lit = b"" if self.brightness is None else self.level.tobytes()
        return "p" + hashlib.sha256(repr(said).encode() + lit).hexdigest()[:6]

    @cached_property
    def level(self) -> Whole:
        """How bright the resin of each piece is drawn, from 0 to LEVELS."""
        if self.brightness is None:
            return np.zeros(len(self.panel.number), dtype=np.int64)
        for value in (self.brightness.min(), self.brightness.max()):
            checked("brightness", float(value), 0, 1, "")
        share = np.array([max(stack.resin_fraction, 1e-9) for stack in self.panel.stacks])[self.panel.shape]
        lit = LEVELS * np.clip(self.brightness / share, 0, 1) ** GAMMA
        return np.asarray(np.rint(lit), dtype=np.int64)

    def patterned(self) -> list[str]:
        """Definitions, and every piece as a use of its shape."""
        panel, place = self.panel, self.prefix
        kinds = sorted(set(zip(panel.shape.tolist(), self.level.tolist(), strict=True)))
        defs = "".join(self._definition(index, level) for index, level in kinds)
        over, across, high = panel.overhang_mm, panel.width_mm, panel.height_mm
        box = (-over, -over, across + 2 * over, high + 2 * over)
        defs += element("clipPath", element("path", d=rectangles([box])), id=named(place, "f"))
        keys = panel.turn_deg * 2 + panel.face_down
        groups = []
        for key in np.unique(keys).tolist():
            own = np.nonzero(keys == key)[0]
            matrix = self._matrix(int(own[0]))
            corner = np.round(panel.shift_mm[own] @ matrix, 2) + 0.0
            rows = zip(corner.tolist(), panel.shape[own].tolist(), self.level[own].tolist(), strict=True)
            uses = "".join(
                f'<use href="#{place}-{shape}-{level}" x="{x:g}" y="{y:g}"/>' for (x, y), shape, level in rows
            )
            turn = " ".join(f"{value:.9g}" for value in matrix.T.ravel().tolist())
            groups.append(element("g", uses, transform=f"matrix({turn} 0 0)"))
        return [element("defs", defs), element("g", *groups, clip_path=f"url(#{place}-f)")]

    def _matrix(self, piece: int) -> Floats:
        """How the bar's directions lie for a piece."""
        turn = np.radians(self.panel.turn_deg[piece])
        side = -1 if self.panel.face_down[piece] else 1
        return np.array([[np.cos(turn), -side * np.sin(turn)], [np.sin(turn), side * np.cos(turn)]])

    def _definition(self, index: int, level: int) -> str:
        """A shape with its stripes, at one brightness, in the frame of its bar."""
        shape, stack = self.panel.shapes[index], self.panel.stacks[index]
        name = f"{self.prefix}-{index}-{level}"
        pitch, half = stack.pitch_mm, stack.gap_mm / 2
        x, wide = _span(shape)
        tile = [element("path", d=rectangles([(x, 0, wide, pitch)]), **paint) for paint in self._resin(level)]
        tile.append(element("path", d=rectangles([(x, half, wide, stack.strip_mm)]), **fill("lam")))
        turn = f"rotate({shape.stripe_deg:g}) " if shape.stripe_deg else ""
        stripes = element(
            *("pattern", *tile),
            id=f"{name}s",
            patternUnits="userSpaceOnUse",
            x=x,
            width=wide,
            height=f"{pitch:.9g}",
            patternTransform=f"{turn}translate(0 {(shape.phase - pitch / 2) % pitch:.9g})",
        )
        corners = "L".join(f"{x:.9g} {y:.9g}" for x, y in dict.fromkeys(shape.corners_mm))
        return stripes + element(
            "path",
            d=f"M{corners}z",
            id=name,
            fill=f"url(#{name}s)",
            stroke="#444",
            stroke_width=0.2,
            class_="o-edge",
        )

    def _resin(self, level: int) -> list[dict[str, str | float | None]]:
        """The paints of the resin: by daylight one; lit from behind the dark and, over it, its glow."""
        if self.brightness is None:
            return [fill("resin")]
        dark: dict[str, str | float | None] = fill("ink", also="unlit")
        return [dark, {**fill("glow"), "fill_opacity": level / LEVELS}] if level else [dark]

    def strips(self) -> list[str]:
        """The resin of every piece and every strip in it, each as a shape of its own."""
        parts = []
        for level in np.unique(self.level).tolist():
            outline = _path(self.panel.padded_mm[self.level == level])
            parts += [element("path", d=outline, **paint) for paint in self._resin(level)]
        parts.append(element("path", d=_path(strip_shapes(self.panel)[0]), **fill("lam")))
        return parts

    def frame(self) -> str:
        """The line to which the panel is trimmed."""
        box = (0, 0, self.panel.width_mm, self.panel.height_mm)
        return element("path", d=rectangles([box]), **line("ink", 1))

    def arrows(self) -> str:
        """One arrow for each way a shape lies: along its bar, on the first whole piece that lies so."""
        panel = self.panel
        keys = (panel.turn_deg * 2 + panel.face_down) * len(panel.shapes) + panel.shape
        paths = []
        for key in np.unique(keys).tolist():
            own = np.nonzero(keys == key)[0]
            whole = own[~panel.clipped[own]]
            piece = int(whole[0] if len(whole) else own[0])
            turn = np.radians(panel.turn_deg[piece])
            along, across = (
                np.array([np.cos(turn), np.sin(turn)]),
                np.array([-np.sin(turn), np.cos(turn)]),
            )
            reach = panel.shapes[int(panel.shape[piece])].area_mm2 ** 0.5 / 4
            middle = panel.middle_mm[piece]
            head, tail = middle + reach * along, middle - reach * along
            barbs = [head - reach / 2 * (along + side * 0.6 * across) for side in (1, -1)]
            points = [*tail, *head, *barbs[0], *head, *barbs[1]]
            paths.append(
                "M{:.2f} {:.2f}L{:.2f} {:.2f}M{:.2f} {:.2f}L{:.2f} {:.2f}L{:.2f} {:.2f}".format(*points)
            )
        halo = element("path", d="".join(paths), **line("paper", 3, also="halo"))
        return halo + element("path", d="".join(paths), **line("ink", 1.2, also="arrow"))

    def numbers(self) -> list[str]:
        """The place number of every piece on a plate, with an F where it lies face down."""
        panel = self.panel
        said = [
            f"{number}F" if down else str(number)
            for number, down in zip(panel.number.tolist(), panel.face_down.tolist(), strict=True)
        ]
        spots = np.round(self.at(panel.middle_mm), 1).tolist()
        plates = [
            (x - LETTER * len(text) / 2, y - TEXT / 2, LETTER * len(text), float(TEXT))
            for (x, y), text in zip(spots, said, strict=True)
        ]
        texts = "".join(
            f'<text x="{x:g}" y="{y + 4:g}" font-size="{TEXT}">{text}</text>'
            for (x, y), text in zip(spots, said, strict=True)
        )
        family = "Figure, Bitter, serif"
        plate = element("path", d=rectangles(plates), **fill("paper"), fill_opacity=0.8)
        return [plate, element("g", texts, text_anchor="middle", font_family=family, **fill("ink"))]

    def sentence(self) -> str:
        """What the drawing says in words."""
        panel = self.panel
        wide, high = figure(panel.width_mm), figure(panel.height_mm)
        said = f"A panel of {panel.pattern.name}, {wide} × {high} mm, {len(panel.number)} pieces"
        edge = int(panel.clipped.sum())
        said += f", {edge} of them cut by the frame" if edge else ", none of them cut by the frame"
        return said + ("." if self.brightness is None else ", lit from behind.")


def _span(shape: Shape) -> tuple[float, float]:
    """From where and how far the stripes of a shape reach: one tile, so that no joint shows."""
    if shape.stripe_deg:
        reach = float(
            np.hypot(shape.bar_mm, shape.near_mm + shape.far_mm + shape.bar_mm * abs(cot(shape.left_deg)))
        )
        return -reach, 2 * reach
    xs = [x for x, _ in shape.corners_mm]
    return min(xs) - 1, max(xs) - min(xs) + 2


def _path(polygons: Floats) -> str:
    """The path of many polygons, padded corners left out."""
    shown = np.round(polygons, 2) + 0.0
    fresh = (shown != np.roll(shown, 1, axis=1)).any(axis=2)
    parts = []
    for points, keep in zip(shown.tolist(), fresh.tolist(), strict=True):
        corners = [f"{x:g} {y:g}" for (x, y), kept in zip(points, keep, strict=True) if kept]
        if len(corners) > 2:
            parts.append(f"M{'L'.join(corners)}z")
    return "".join(parts)
