"""The fit's two drawings, each at the three widths of a page, in the shop's units."""

from workshop import units
from workshop.drawing.cup_heat import CupHeat, cup_heat_svg
from workshop.drawing.depth_share import DepthShare, depth_share_svg
from workshop.drawn import drawn

SCREENS = ("narrow", "middle", "wide")


def of_cup(cup, system, *, pot_min=None, before=(), points=()):
    """A cup left standing."""
    heat = CupHeat(
        expected=cup.curves["nominal"],
        safe=cup.curves["cautious"],
        cool=cup.curves["cool"],
        before=before,
        points=points,
        pot_min=pot_min,
    )

    def say(temp_c):
        return units.say(temp_c, "temperature", system, 0)

    return {media: drawn(cup_heat_svg(heat, media, f"cup-{media}", say)) for media in SCREENS}


def of_depths(depths, sheet_mm, system):
    """How deep one pour may be."""
    drawing = DepthShare(depths.expected, depths.safe, sheet_mm)

    def say(depth_mm):
        return units.say(depth_mm, "length", system, 0 if depth_mm >= 10 else 1)

    return {media: drawn(depth_share_svg(drawing, media, f"depth-{media}", say)) for media in SCREENS}
