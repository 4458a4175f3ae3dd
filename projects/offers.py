"""What a design asks for that its route lacks: offered, never put in by itself. What exists stays."""

import math
from dataclasses import dataclass

from materials.models import Supply
from projects import advice
from projects.models import Need, PanelDesign, Step

KIND = Step.Kind
FILM_COATS, OIL_COATS = 3, 2  # common practice, no source


@dataclass(frozen=True)
class Offer:
    """Steps that could be put in: what for, how many, and the deed on the button."""

    code: str
    sentence: str
    deed: str
    count: int = 1


def offers_of(project, steps):
    """The offers for a route as it stands; three questions to the database however long it is."""
    blocks = list(project.blocks.select_related("resin", "project").order_by("position", "pk"))
    found = [offer for block in blocks for offer in (of_block(block, steps), of_lifts(block, steps)) if offer]
    coats = of_coats(finish_of(project), steps)
    return [*found, coats] if coats else found


def glues_in_parts(project, steps):
    """Whether parts of the glue-up can be chosen: a panel is designed, and no part was glued yet."""
    glued = [step for step in steps if step.kind == KIND.GLUE_UP]
    if any(step.state != Step.State.TO_DO for step in glued):
        return False
    return PanelDesign.objects.filter(project=project).exists()


def of_block(block, steps):
    """A block that no step is about."""
    if any(step.block_id == block.pk for step in steps):
        return None
    sentence = f"{block} has no steps yet, from its strips to its pieces."
    return Offer(f"block-{block.key}", sentence, "Put its steps in")


def of_lifts(block, steps):
    """A block that its sheet wants poured more often than the route does."""
    pours = sum(step.kind == KIND.POUR and step.block_id == block.pk for step in steps)
    asked = lifts_of(block)
    if not pours or pours >= asked:
        return None
    missing = asked - pours
    depth_mm = advice.stack_of(advice.values_of(block)).poured_depth_mm
    sentence = (
        f"{block} is {depth_mm:.0f} mm deep: its resin’s sheet asks for {asked} pours, the route has {pours}."
    )
    deed = f"Put {'a pour' if missing == 1 else f'{missing} pours'} in"
    return Offer(f"lifts-{block.key}", sentence, deed, missing)


def lifts_of(block):
    """In how many pours a block's sheet wants it; one where it says nothing."""
    allowed_mm = advice.sheet_depth_in_stack(block)
    if not allowed_mm:
        return 1
    depth_mm = advice.stack_of(advice.values_of(block)).poured_depth_mm
    return max(1, math.ceil(depth_mm / allowed_mm - 1e-9))


def finish_of(project):
    """The finish on a project's shelf list, the newest; None without one."""
    wanted = Need.objects.filter(project=project, removed_at=None, supply__kind=Supply.Kind.FINISH)
    need = wanted.select_related("supply").order_by("-created_at", "-pk").first()
    return need and need.supply


def of_coats(finish, steps):
    """A finish that wants more coats than the route has."""
    coats = sum(step.kind == KIND.COAT for step in steps)
    if finish is None or not coats:
        return None
    asked, what = (OIL_COATS, "an oil") if finish.penetrating else (FILM_COATS, "a film")
    if coats >= asked:
        return None
    missing = asked - coats
    sentence = (
        f"{finish.name} is {what}, usually {asked} coats (common practice, no source); the route has {coats}."
    )
    return Offer("coats", sentence, f"Put {'a coat' if missing == 1 else f'{missing} coats'} in", missing)
