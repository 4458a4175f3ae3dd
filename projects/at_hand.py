"""What the page of a step says beside its acts: how large its mould is, what is still to be bought."""

from materials import buying
from projects import advice
from projects.checklists import CHECKS
from projects.models import Project, Step

MOST_SHORT = 8  # lines on a page of the bench; the shelf list has them all
KIND = Step.Kind


def mould_of(step):
    """The figures of the block whose mould a step builds; None elsewhere, and where it can't be built."""
    if step.kind != KIND.MOULD or step.block is None:
        return None
    return advice.figures_or_reason(advice.values_of(step.block), step.block.resin)[0]


def buys(step):
    """Whether hands buy at a step; what was bought then comes by itself."""
    return step.kind == KIND.BUY and not step.is_passive and step.project.state in Project.LIVE


def short_for(step, today):
    """What the shelf lacks for the project of a step at which hands buy; nothing at any other."""
    if not buys(step):
        return []
    served = buying.serve(step.shop, today)
    return [row for row in served if row.missing and row.want.project_key == step.project.key]


def short_lines(step, today):
    """What the page of a step shows of it, and how many lines more there are."""
    short = short_for(step, today)
    return {"buys": buys(step), "short": short[:MOST_SHORT], "short_more": len(short[MOST_SHORT:])}


def name_of(want):
    """What is wanted, in words."""
    if want.resin:
        return f"{want.resin.name}, part {want.part}"
    return str(want.species or want.supply)


def lines_of(step):
    """The checklist of a step as its page shows it: a wait asks nothing of what was bought before it."""
    lines = step.checks.all()
    return lines.exclude(text__in=CHECKS[KIND.BUY]) if step.kind == KIND.BUY and step.is_passive else lines
