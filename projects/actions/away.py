"""A block that came with a change of the route leaves with it."""

from projects.models import Need, PanelDesign, Pour, Step
from workshop.refusals import Refused


def put_away(project, key):
    """The block that came with a change of the route goes with it; its steps have gone before.

    Raises Refused where something rests on it: a pour, a flaw, a shape of the panel, a block after it.
    """
    block = project.blocks.filter(key=key).first() if key else None
    if block is None:
        return
    if Pour.objects.filter(block=block).exists():
        raise Refused(f"{block} was poured meanwhile, so it can't be taken back any more.")
    if block.flaws.exists():
        raise Refused(f"Flaws of {block} were marked meanwhile, so it can't be taken back any more.")
    if project.blocks.filter(position__gt=block.position).exists():
        raise Refused(f"Another block came after {block}. Take that one back first.")
    panel = PanelDesign.objects.of_project(project)
    if panel and str(block.key) in panel.overrides.get("blocks", {}).values():
        raise Refused(f"The panel takes pieces from {block}. Choose another block for them first.")
    Step.objects.filter(block=block).update(block=None)
    Need.objects.filter(block=block).delete()
    block.delete()
