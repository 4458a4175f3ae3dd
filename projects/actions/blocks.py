"""A further block of a project: cast like the last one, with steps and needs of its own."""

from django.db import transaction

from projects import default_route
from projects.actions import needs, route, routes
from projects.models import Block, Project
from projects.panel import casting
from projects.panel.rows import kept_of
from workshop import history
from workshop.refusals import Refused

COPIED = (
    "species", "resin", "strip_mm", "gap_mm", "finished_mm", "flatten_mm", "edge_mm", "strips", "length_mm",
    "rim_mm", "over_mm", "film_percent", "soak_percent",
)  # fmt: skip


@transaction.atomic
def add_block(member, project, *, at):
    """A block like the last one, of the size the panel takes the next in; its steps stand behind that one's.

    It comes with a change of the route, and goes with it when that is taken back.
    Raises Refused where every letter has its block.
    """
    route.lock(project)
    last = project.blocks.select_related("resin", "species", "shop").order_by("position").last()
    if last.position + 1 >= Block.MOST:
        raise Refused(f"A project has {Block.MOST} blocks at most. Begin another project for the rest.")
    block = Block(
        shop=project.shop,
        created_at=at,
        created_by=member.user,
        project=project,
        position=last.position + 1,
        **{name: getattr(last, name) for name in COPIED},
    )
    block.save()
    asked = casting.from_panel(kept_of(project), block)
    if asked and asked.own_strips:
        block.strips, block.length_mm = asked.wanted
        block.save(update_fields=["strips", "length_mm"])
    steps = lay_steps(member, block, last, at=at)
    needs.follow(block, at=at, by=member)
    label = f"{project.code} {block}"
    after = {"strips": block.strips, "length_mm": block.length_mm}
    history.record(member, "added the block", block, at=at, label=label, after=after)
    return block, steps


@transaction.atomic
def add_blocks(member, project, many, *, at):
    """Several blocks at once, each a change of the route of its own: they are taken back one by one.

    Raises Refused where the letters don't suffice; then none is added.
    """
    return [add_block(member, project, at=at) for _ in range(many)]


def lay_steps(member, block, last, *, at):
    """The usual steps of a block, behind those of the block before it; one change of the route."""
    project, there = block.project, route.in_place(block.project)
    own = [number for number, step in enumerate(there) if step.block_id == last.pk]
    place = own[-1] + 1 if own else len(there)
    lines = [line for line in default_route.ROUTES[Project.Purpose(project.purpose)] if line.of_block]
    steps = routes.lay_lines(member, block, lines, at=at, position=place)
    routes.tie(member, steps, at=at)
    touched = route.put_in_order([*there[:place], *steps, *there[place:]])
    moved = {step: values for step, values in touched.items() if step not in steps}
    route.keep(member, project, f"added {block}", at=at, touched=moved, added=steps, block=block)
    return steps
