"""How each kind of lot is drawn on its board."""

from materials.models import Lot
from workshop.drawing.bottle import bottle_svg
from workshop.drawing.stock import boards_svg, bundle_svg, leftover_svg, tone_of
from workshop.drawing.supplies import paper_svg, roll_svg, tin_svg
from workshop.drawn import drawn


def drawing(lot):
    """A bottle filled to what is on hand, strips in their wood, a striped bar, a roll, a tin, paper."""
    return drawn(DRAWINGS[lot.kind](lot))


def share_left(lot):
    """The share on hand of what came in, 0 to 1; of what is not counted, by its level."""
    if not lot.is_counted:
        return {"enough": 1.0, "low": 0.25}.get(lot.level, 0.0)
    came = max(lot.received_thousandths / 1000, 0.001)
    return min(max(lot.on_hand / came, 0.0), 1.0)


def bottle(lot):
    """A bottle; darkened B is brown."""
    pack_g = max(lot.received_thousandths / 1000, 1.0)
    dark = lot.condition == Lot.Condition.DARKENED
    return bottle_svg(lot.part, share_left(lot), f"lot{lot.pk}", pack_g=pack_g, darkened=dark)


def stack(lot):
    """Strips lying flat, or boards."""
    wood = tone_of(lot.species.name)
    if lot.kind == Lot.Kind.SAWN:
        return boards_svg(max(0, round(lot.on_hand)), wood)
    return bundle_svg(max(0, round(lot.on_hand)), wood, lot.thickness_mm or 2.0)


def bar(lot):
    """A leftover with its stripes."""
    sizes = {"length_mm": lot.length_mm or 200.0, "phase_mm": lot.phase_mm or 0.0}
    wood = tone_of(lot.species.name)
    return leftover_svg(lot.strip_mm or 2.0, 2.0 if lot.gap_mm is None else lot.gap_mm, wood, **sizes)


def roll(lot):
    """A roll of tape."""
    return roll_svg(share_left(lot))


def tin(lot):
    """A tin of a finish."""
    return tin_svg(share_left(lot), f"lot{lot.pk}")


def paper(lot):
    """Sheets of abrasive with their grade."""
    return paper_svg(share_left(lot), lot.supply.grade_shown)


DRAWINGS = {
    Lot.Kind.RESIN: bottle,
    Lot.Kind.WOOD: stack,
    Lot.Kind.SAWN: stack,
    Lot.Kind.LEFTOVER: bar,
    Lot.Kind.CONSUMABLE: roll,
    Lot.Kind.FINISH: tin,
    Lot.Kind.ABRASIVE: paper,
}
