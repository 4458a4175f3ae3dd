"""What the eye sees of a panel lit from behind: which pieces are open to it, and how bright they are.

Frame of the panel with z towards the viewer, its face at z = 0. Each piece is judged by the one ray from the
eye to the middle of what is seen of it; walls count as black, the light behind as even. Real wood glows a
little, so a real panel never goes quite dark.

Strips that lean all lean the same way in their block, towards the bar's far edge where lean_deg is above 0.
A piece takes its lean along where it is turned; laid face down it leans the other way. [derived: nobody has
looked at such a panel]
"""

import math
from typing import NamedTuple

import numpy as np

from materials.science.errors import checked
from materials.science.light.transmission import critical_angle_deg
from materials.science.light.viewing import cutoff_deg
from projects.geometry.clipping import Floats
from projects.geometry.panel import Panel

FAR_MM, MOST_LEAN_DEG = 1_000_000, 30


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
    return leaning_brightness(panel, eye_mm, index, tint, 0)


def leaning_brightness(
    panel: Panel, eye_mm: tuple[float, float, float], index: float, tint: float, lean_deg: float
) -> Floats:
    """The same through strips that lean: pieces open to one side, those laid face down to the other.

    Parameters: as for brightness; lean_deg, of the strips from plumb.
    Returns: one fraction of 1 for each piece.
    Raises: OutOfRange.
    Valid for: as brightness, leans of a few degrees; gaps and strips as wide as planned on the face; each
    piece laid with the face up that was up as it was cut, or face down where the pattern says so.
    Source: as for brightness. Inside the resin the open direction is the slot's own, by Snell's law outside
    it is turned further. [derived]

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.zigzag import zigzag
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(zigzag(30, 60, 45), 60, 60, Stack(), origin=(0, 0))
    >>> panel.face_down.tolist()
    [False, True, False, True]
    >>> leaning_brightness(panel, (30, 30 + 1e6 * 0.0541, 1e6), 1.55, 0, 2).round(3)
    array([0.432, 0.32 , 0.432, 0.32 ])
    """
    checked("tint_per_mm", tint, 0, 10, "per mm")
    ray = _rays(panel, eye_mm)
    tangential = np.hypot(ray[:, 0], ray[:, 1])
    open_share, inside_cosine = _openness(panel, ray[:, :2], index, lean_deg)
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
    return leaning_open_share(panel, eye_mm, index, 0)


def leaning_open_share(
    panel: Panel, eye_mm: tuple[float, float, float], index: float, lean_deg: float
) -> Floats:
    """Which share of its slots the eye sees through where strips lean, for each piece.

    Parameters, returns, raises, valid for and source: as for leaning_brightness.

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(basket(40), 80, 80, Stack(), origin=(0, 0))
    >>> leaning_open_share(panel, (40, 40, 1e6), index=1.5, lean_deg=2).round(3)
    array([0.825, 0.825, 0.825, 0.825])
    """
    return _openness(panel, _rays(panel, eye_mm)[:, :2], index, lean_deg)[0]


def _rays(panel: Panel, eye_mm: tuple[float, float, float]) -> Floats:
    """Unit vectors from the middle of each piece to the eye."""
    for name, value in zip(("eye_x_mm", "eye_y_mm"), eye_mm[:2], strict=True):
        checked(name, value, -10 * FAR_MM, 10 * FAR_MM, "mm")
    checked("eye_z_mm", eye_mm[2], 1, 10 * FAR_MM, "mm")
    middle = panel.middle_mm
    ray = np.concatenate([np.array(eye_mm[:2]) - middle, np.full((len(middle), 1), float(eye_mm[2]))], axis=1)
    return np.asarray(ray / np.sqrt((ray**2).sum(axis=1))[:, None])


def _openness(panel: Panel, tangential: Floats, index: float, lean_deg: float) -> tuple[Floats, Floats]:
    """The open share of each piece's slots, and the cosine of the ray inside the resin."""
    checked("index", index, 1, 2.5, "")
    checked("lean_deg", lean_deg, -MOST_LEAN_DEG, MOST_LEAN_DEG, "°")
    inside = np.sqrt(np.maximum(0, 1 - (tangential**2).sum(axis=1) / index**2))
    depth = np.array([stack.depth_mm for stack in panel.stacks])[panel.shape]
    gap = np.array([max(stack.gap_mm, 1e-9) for stack in panel.stacks])[panel.shape]
    across = (tangential * panel.stripe_normal).sum(axis=1)
    sideways = np.where(np.abs(across) < 1e-12, 0.0, across / (index * np.maximum(inside, 1e-9)))
    shift = depth * np.abs(sideways - _lean(panel, lean_deg))
    return np.asarray(np.clip(1 - shift / gap, 0, 1)), inside


def _lean(panel: Panel, lean_deg: float) -> Floats:
    """How far each piece's slots lean along its own normal, per mm towards the viewer."""
    tangent = math.tan(math.radians(lean_deg))
    return np.where(panel.face_down, -tangent, tangent)


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


class LeaningCone(NamedTuple):
    """From where slots that lean can be looked through: between two angles across the stripes.

    Parameters: low_deg and high_deg, outside, towards the side that a piece laid face up leans away from
    (below 0) and leans to; face down they are swapped; glow_mm, as of a Cone, None where an eye in front of
    the middle never sees all of it glow.

    >>> LeaningCone(-14.5, 21.4, 900).high_deg
    21.4
    """

    low_deg: float
    high_deg: float
    glow_mm: float | None


def leaning_cone(panel: Panel, index: float, lean_deg: float) -> LeaningCone:
    """How far to either side a panel of leaning strips can be looked through, and when all of it glows.

    Parameters: panel; index, refractive index of the cured resin; lean_deg, of the strips from plumb.
    Returns: a LeaningCone, for what all of its stacks have in common.
    Raises: OutOfRange.
    Valid for: as viewing_cone and leaning_brightness.
    Source: the steepest rays in a leaning slot have the lean and the gap over the depth for their slope;
    Snell's law turns them further outside. [derived]

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.stack import Stack
    >>> panel = lay_out(basket(40), 400, 240, Stack())
    >>> [round(value, 1) for value in leaning_cone(panel, 1.5, 0)], leaning_cone(panel, 1.5, 12).glow_mm
    ([-17.1, 17.1, 649.8], None)
    """
    checked("index", index, 1, 2.5, "")
    checked("lean_deg", lean_deg, -MOST_LEAN_DEG, MOST_LEAN_DEG, "°")
    lean = math.tan(math.radians(lean_deg))
    open_to = [(lean - stack.gap_mm / stack.depth_mm, lean + stack.gap_mm / stack.depth_mm)
               for stack in panel.stacks]  # fmt: skip
    lows, highs = ([_outside_deg(slope, index) for slope in side] for side in zip(*open_to, strict=True))
    if max(lows) >= 0 or min(highs) <= 0:
        return LeaningCone(max(lows), min(highs), None)
    centre = np.array([panel.width_mm / 2, panel.height_mm / 2])
    across = ((centre - panel.padded_mm) * panel.stripe_normal[:, None]).sum(axis=2)
    across = np.where(panel.face_down[:, None], -across, across)
    to_low, to_high = (np.tan(np.radians(side))[panel.shape][:, None] for side in (lows, highs))
    back = np.where(across < 0, across / to_low, across / to_high)
    return LeaningCone(max(lows), min(highs), float(back.max()))


def _outside_deg(slope: float, index: float) -> float:
    """The angle outside of a ray inside the resin, by Snell's law; at most along the face."""
    sine = index * math.sin(math.atan(slope))
    return math.copysign(min(math.degrees(math.asin(min(1.0, abs(sine)))), 89.999999), sine)


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
