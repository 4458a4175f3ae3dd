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
    """The figures of a panel's light: mm, degrees, fractions of 1.

    Between `low_deg` and `high_deg` a piece that lies face up is open; `turned_deg` is where it is brightest.
    """

    glow_mm: float | None
    low_deg: float
    high_deg: float
    through: float
    turned_deg: float
    face_down: int

    @property
    def cutoff_deg(self):
        """How far to the side strips that stand plumb can be looked through."""
        return self.high_deg


def seen(design, tints, eye_mm, lean_deg=0.0):
    """How bright each piece is for an eye at a place, its strips leaning by so much."""
    import numpy as np

    from materials.science.light.transmission import absorption_per_mm
    from projects.geometry.sight import leaning_brightness

    panel = laid_out(design)
    found = np.zeros(len(panel.number))
    kinds = [(stack.resin_index, tint) for stack, tint in zip(design.stacks, tints.by_shape, strict=True)]
    for index, tint in set(kinds):
        own = np.isin(panel.shape, [n for n, kind in enumerate(kinds) if kind == (index, tint)])
        per_mm = absorption_per_mm(tint, TINT_AT_MM)
        found[own] = leaning_brightness(panel, eye_mm, index, per_mm, lean_deg)[own]
    return found


@lru_cache(maxsize=48)
def sight_of(design, tints, lean_deg=0.0):
    """From how far all of it glows, how far to the side it can be looked through, what comes through."""
    from projects.geometry.sight import lean_shift_deg, leaning_cone

    panel = laid_out(design)
    index = min(stack.resin_index for stack in design.stacks)
    cone = leaning_cone(panel, index, lean_deg)
    straight = seen(design, tints, (design.width_mm / 2, design.height_mm / 2, FAR_MM), lean_deg)
    area = panel.visible_area_mm2
    return Sight(
        glow_mm=cone.glow_mm,
        low_deg=cone.low_deg,
        high_deg=cone.high_deg,
        through=float((straight * area).sum() / area.sum()),
        turned_deg=abs(lean_shift_deg(lean_deg, index)),
        face_down=int(panel.face_down.sum()),
    )
