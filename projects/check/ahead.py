"""The step of checking the evening before: which pour it stands before, and what is known of that check."""

from dataclasses import dataclass

from projects.check import asked
from projects.check.standing import Standing, standing_of
from projects.check.unkept import is_fresh
from projects.links import links_of
from projects.models import Step

OVER = {Step.State.DONE, Step.State.SKIPPED}


@dataclass(frozen=True)
class Ahead:
    """The pour that is checked for, with its last check; without one, `poured` is one that is over already.

    `is_checked`: somebody kept a check of it within the last day and night.
    """

    pour: Step | None = None
    check: Standing | None = None
    is_checked: bool = False
    poured: Step | None = None


def ahead_of(step, steps, at):
    """What a step of checking stands before, among the `steps` of its route; None for other steps."""
    if step.kind != Step.Kind.CHECK:
        return None
    behind = pours_behind(step, steps, links_of([step]))
    pour = next((one for one in behind if one.state not in OVER), None)
    if pour is None:
        return Ahead(poured=behind[0] if behind else None)
    last = asked.last_check(pour)
    return Ahead(pour, standing_of(pour), is_fresh(last, pour.block.resin, at))


def pours_behind(step, steps, links):
    """The pours behind a step: those that wait for it first, then its own block's, then the others."""
    waiting = {link.after_id for link in links if link.before_id == step.pk}
    behind = [
        one
        for one in steps
        if one.kind == Step.Kind.POUR and one.block_id and (one.position, one.pk) > (step.position, step.pk)
    ]
    return sorted(behind, key=lambda one: (one.pk not in waiting, one.block_id != step.block_id))


def checking_step(pour, steps):
    """The step of checking that stands before a pour and is not over yet; None without one."""
    open_checks = [one for one in steps if one.kind == Step.Kind.CHECK and one.state not in OVER]
    links = links_of(open_checks) if open_checks else ()
    for step in open_checks:
        behind = [one for one in pours_behind(step, steps, links) if one.state not in OVER]
        if behind and behind[0] == pour:
            return step
    return None
