"""What waits for what in a route: its order, and the links that a maker set on top of it.

One rule for pages and plans: a step waits for the one before it, the blocks of a project go on beside each
other, and a step of no block waits for all of them. A link adds to that.
"""

from dataclasses import dataclass

from projects.models import Step, StepLink


@dataclass(frozen=True)
class Wait:
    """A step (`after`) waits for the end of another (`before`); without a `link` the order says so."""

    before: Step
    after: Step
    link: StepLink | None = None

    @property
    def has_window(self):
        """Whether it opens or closes at all, rather than only coming after."""
        return self.link is not None and self.link.has_window


def order_of(steps):
    """What the order of each route says, as pairs; `steps` stand in their order, project by project."""
    found, trunk, tips, project = [], None, {}, None
    for step in steps:
        if step.project_id != project:
            trunk, tips, project = None, {}, step.project_id
        if step.block_id:
            causes = [tips.get(step.block_id) or trunk]
            tips[step.block_id] = step
        else:
            causes = list(tips.values()) or [trunk]
            trunk, tips = step, {}
        found += [(before, step) for before in causes if before is not None]
    return found


def links_of(steps):
    """The stored links of the routes that steps belong to; one question however many there are."""
    return list(StepLink.objects.of_routes({step.project_id for step in steps}))


def waits_of(steps, links=None):
    """All that waits among `steps`, in their order; the `links` are read where none are given."""
    by_pk = {step.pk: step for step in steps}
    found = {(before.pk, after.pk): Wait(before, after) for before, after in order_of(steps)}
    for link in links_of(steps) if links is None else links:
        before, after = by_pk.get(link.before_id), by_pk.get(link.after_id)
        if before is not None and after is not None:
            found[before.pk, after.pk] = Wait(before, after, link)
    return list(found.values())


def circle_in(steps, waits):
    """The steps that wait for each other in a circle, in their order; empty where there is none."""
    from projects.planning.steps import CycleError, Link, Task, topological

    tasks = [Task(str(step.pk), str(step.project_id), step.title, "hands_on", 0) for step in steps]
    try:
        topological(tasks, [Link(str(wait.before.pk), str(wait.after.pk)) for wait in waits])
    except CycleError as problem:
        return list(problem.names)
    return []


def begun_behind(step, steps):
    """Those of its route's `steps` that wait for one, however far off, and were begun; in their order."""
    follow = {}
    for wait in waits_of(steps):
        follow.setdefault(wait.before.pk, []).append(wait.after.pk)
    reached, ahead = set(), [step.pk]
    while ahead:
        ahead = [after for before in ahead for after in follow.get(before, ()) if after not in reached]
        reached.update(ahead)
    begun = (step.State.UNDER_WAY, step.State.WAITING, step.State.DONE)
    return [one for one in steps if one.pk in reached and one.state in begun]
