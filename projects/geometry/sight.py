"""What the eye sees of a panel lit from behind: which pieces are open to it, and how bright they are.

Frame of the panel with z towards the viewer, its face at z = 0. Each piece is judged by the one ray from the
eye to the middle of what is seen of it; walls count as black, the light behind as even. Real wood glows a
little, so a real panel never goes quite dark.
"""

import math
from typing import NamedTuple

import numpy as np

from materials.science.errors import checked
from materials.science.light.transmission import critical_angle_deg
from materials.science.light.viewing import cutoff_deg
from projects.geometry.clipping import Floats
from projects.geometry.panel import Panel

FAR_MM = 1_000_000


def brightness(panel: Panel, eye_mm: tuple[float, float, float], index: float, tint: float) -> Floats:
    """How much of the light behind a panel reaches the eye through each piece, over its whole face.

    Parameters: panel; eye_mm, where the eye is: x, y, and z in front of the face; index, refractive index
    of the cured resin; tint, what it absorbs per mm of depth: transmission.absorption_per_mm.
    Returns: one fraction of 1 for each piece: open share × share of resin × faces × tint.
    Raises: OutOfRange.
    Valid for: opaque dark walls, polished faces, even light behind.
    Source: geometry, Snell's law, Fresnel's equations, Beer and Lambert's law (optics textbooks).

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(basket(40), 80, 80, Stack(), origin=(0, 0))
    >>> brightness(panel, (40, 40, 1e6), index=1.5, tint=0).round(3)
    array([0.462, 0.462, 0.462, 0.462])
    """
    checked("tint_per_mm", tint, 0, 10, "per mm")
    ray = _rays(panel, eye_mm)
    tangential = np.hypot(ray[:, 0], ray[:, 1])
    open_share, inside_cosine = _openness(panel, ray[:, :2], index)
    depth, share = (np.array(part)[panel.shape] for part in _depths_and_shares(panel))
    faces = _slab(index, ray[:, 2], inside_cosine)
    grazing = (tangential > 1 - 1e-12) | (inside_cosine < 1e-9)
    path_mm = depth / np.where(grazing, 1.0, inside_cosine)
    return np.asarray(np.where(grazing, 0.0, open_share * share * faces * np.exp(-tint * path_mm)))


def open_share(panel: Panel, eye_mm: tuple[float, float, float], index: float) -> Floats:
    """Which share of its slots the eye sees through, for each piece.

    Parameters, returns, raises, valid for and source: as for brightness.

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(basket(40), 80, 80, Stack(), origin=(0, 0))
    >>> open_share(panel, (40 + 1e6 * 0.36397, 40, 1e6), index=1.5).round(3)
    array([0., 1., 1., 0.])
    """
    return _openness(panel, _rays(panel, eye_mm)[:, :2], index)[0]


def _rays(panel: Panel, eye_mm: tuple[float, float, float]) -> Floats:
    """Unit vectors from the middle of each piece to the eye."""
    for name, value in zip(("eye_x_mm", "eye_y_mm"), eye_mm[:2], strict=True):
        checked(name, value, -10 * FAR_MM, 10 * FAR_MM, "mm")
    checked("eye_z_mm", eye_mm[2], 1, 10 * FAR_MM, "mm")
    middle = panel.middle_mm
    ray = np.concatenate([np.array(eye_mm[:2]) - middle, np.full((len(middle), 1), float(eye_mm[2]))], axis=1)
    return np.asarray(ray / np.sqrt((ray**2).sum(axis=1))[:, None])


def _openness(panel: Panel, tangential: Floats, index: float) -> tuple[Floats, Floats]:
    """The open share of each piece's slots, and the cosine of the ray inside the resin."""
    checked("index", index, 1, 2.5, "")
    inside = np.sqrt(np.maximum(0, 1 - (tangential**2).sum(axis=1) / index**2))
    depth = np.array([stack.depth_mm for stack in panel.stacks])[panel.shape]
    gap = np.array([max(stack.gap_mm, 1e-9) for stack in panel.stacks])[panel.shape]
    across = np.abs((tangential * panel.stripe_normal).sum(axis=1))
    shift = depth * across / (index * np.maximum(inside, 1e-9))
    return np.asarray(np.where(across < 1e-12, 1.0, np.clip(1 - shift / gap, 0, 1))), inside


def _depths_and_shares(panel: Panel) -> tuple[list[float], list[float]]:
    return [stack.depth_mm for stack in panel.stacks], [stack.resin_fraction for stack in panel.stacks]


def _slab(index: float, outside: Floats, inside: Floats) -> Floats:
    """transmission.slab for many rays, from the cosines outside and inside the resin."""
    least = 1e-12
    across = ((outside - index * inside) / np.maximum(outside + index * inside, least)) ** 2
    along = ((index * outside - inside) / np.maximum(index * outside + inside, least)) ** 2
    return np.asarray(((1 - across) / (1 + across) + (1 - along) / (1 + along)) / 2)


class Cone(NamedTuple):
    """From where a panel can be looked through: the angle across its stripes, and how far back it glows.

    Parameters: cutoff_deg; glow_mm, the distance from which every piece is open to an eye in front of the
    middle; infinite is written as no distance at all (None).

    >>> Cone(17.108, None).glow_mm is None
    True
    """

    cutoff_deg: float
    glow_mm: float | None


def viewing_cone(panel: Panel, index: float) -> Cone:
    """How far to the side a panel can be looked through, and from how far back all of it glows.

    Parameters: panel; index, refractive index of the cured resin.
    Returns: a Cone, for the narrowest of its stacks.
    Raises: OutOfRange.
    Valid for: an eye in front of the middle; a piece counts as glowing while any of it is open.
    Source: half the panel's reach across each piece's stripes over the tangent of the cut-off.

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.stack import Stack
    >>> cone = viewing_cone(lay_out(basket(40), 400, 240, Stack()), index=1.5)
    >>> round(cone.cutoff_deg, 3), round(cone.glow_mm)
    (17.108, 650)
    """
    cutoffs = [cutoff_deg(stack.gap_mm, stack.depth_mm, index) for stack in panel.stacks]
    centre = np.array([panel.width_mm / 2, panel.height_mm / 2])
    across = np.abs(((panel.padded_mm - centre) * panel.stripe_normal[:, None]).sum(axis=2)).max(axis=1)
    tangents = np.array([math.tan(math.radians(min(angle, 89.999999))) for angle in cutoffs])[panel.shape]
    return Cone(min(cutoffs), float((across / tangents).max()))


def lean_shift_deg(lean_deg: float, index: float) -> float:
    """By how much leaning strips turn the direction in which a piece is brightest.

    Parameters: lean_deg, of the strips from plumb; index, refractive index of the cured resin.
    Returns: degrees outside the panel. A piece laid face down turns it the other way.
    Raises: OutOfRange, also where no light leaves along such strips.
    Valid for: small leans; flat polished faces.
    Source: Snell's law.

    >>> round(lean_shift_deg(2, 1.55), 2)
    3.1
    """
    checked("lean_deg", lean_deg, -critical_angle_deg(index), critical_angle_deg(index), "°")
    return math.degrees(math.asin(index * math.sin(math.radians(lean_deg))))
