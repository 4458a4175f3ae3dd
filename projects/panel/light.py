"""What the eye sees of a design: brightness of each piece, the cone of view, the light that comes through."""

from dataclasses import dataclass
from functools import lru_cache

from projects.panel.design import laid_out, pattern_of

TINT_AT_MM = 10  # the depth at which a resin's tint is said
FAR_MM = 1_000_000


@dataclass(frozen=True)
class Tints:
    """For each shape of the pattern, what its resin lets through at 10 mm, as a fraction of 1."""

    by_shape: tuple

    @classmethod
    def of(cls, design, by_block, first, chosen):
        """From fractions by block key, the first block's key, and the block chosen for each shape."""
        keys = [chosen.get(shape.name, first) for shape in pattern_of(design).shapes]
        return cls(tuple(by_block.get(key, by_block.get(first, 1.0)) for key in keys))


@dataclass(frozen=True)
class Sight:
    """The figures of a panel's light: mm, degrees, fractions of 1."""

    glow_mm: float
    cutoff_deg: float
    through: float


def seen(design, tints, eye_mm):
    """How bright each piece is for an eye at a place."""
    import numpy as np

    from materials.science.light.transmission import absorption_per_mm
    from projects.geometry.sight import brightness

    panel = laid_out(design)
    found = np.zeros(len(panel.number))
    kinds = [(stack.resin_index, tint) for stack, tint in zip(design.stacks, tints.by_shape, strict=True)]
    for index, tint in set(kinds):
        own = np.isin(panel.shape, [n for n, kind in enumerate(kinds) if kind == (index, tint)])
        found[own] = brightness(panel, eye_mm, index, absorption_per_mm(tint, TINT_AT_MM))[own]
    return found


@lru_cache(maxsize=48)
def sight_of(design, tints):
    """From how far all of it glows, how far to the side it can be looked through, what comes through."""
    from projects.geometry.sight import viewing_cone

    panel = laid_out(design)
    cone = viewing_cone(panel, min(stack.resin_index for stack in design.stacks))
    straight = seen(design, tints, (design.width_mm / 2, design.height_mm / 2, FAR_MM))
    area = panel.visible_area_mm2
    return Sight(cone.glow_mm or 0.0, cone.cutoff_deg, float((straight * area).sum() / area.sum()))
