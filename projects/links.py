"""What each step of a route waits for. One rule for pages and plans.

Where nothing is said, a step waits for the one before it in its route. A step that has links waits for
those it names instead, so that a mould can be built while strips come to rest.
"""

from dataclasses import dataclass

from projects.models import StepLink


@dataclass(frozen=True)
class Wait:
    """A step (`after`, its pk) waits for the end of another (`before`), in the words of a planner's link.

    `link` is the row, None where only the order of the route says so. With the law "ten_degree" the minutes
    are hours of a sheet at `at_c`; with "wall" they are minutes by the clock.
    """

    before: int
    after: int
    open_min: int = 0
    close_min: int | None = None
    hard: bool = False
    law: str = StepLink.Law.WALL
    at_c: float | None = None
    label: str = ""
    link: StepLink | None = None

    @property
    def has_window(self):
        """Whether it opens or closes at all, rather than only coming after."""
        return bool(self.open_min) or self.close_min is not None


def waits_of(steps, links=None):
    """What each of `steps` waits for among them; they are in the order of their routes, whole projects.

    One question to the database for all of them, none where their `links` are given. A step whose every
    named one is left out, being over, waits for nothing any more; give those that are over too where their
    windows count: a plan holds a pour that was poured at the moment it was.
    """
    steps = list(steps)
    if links is None:
        links = StepLink.objects.of_routes({step.project_id for step in steps})
    known, named = {step.pk for step in steps}, {}
    for link in links:
        named.setdefault(link.after_id, []).append(link)
    found, last = [], {}
    for step in steps:
        if step.pk in named:
            found += [wait_of(link) for link in named[step.pk] if link.before_id in known]
        elif step.project_id in last:
            found.append(Wait(last[step.project_id], step.pk))
        last[step.project_id] = step.pk
    return found


def wait_of(link):
    """A link as plain values."""
    return Wait(
        link.before_id, link.after_id, link.open_min, link.close_min, link.hard, str(link.law), link.at_c,
        str(link), link,
    )  # fmt: skip


def circle_in(steps, waits):
    """The steps that wait for each other in a circle, in their order; empty where there is none."""
    from projects.planning.steps import CycleError, Link, Task, topological

    tasks = [Task(str(step.pk), str(step.project_id), step.title, "hands_on", 0) for step in steps]
    try:
        topological(tasks, [Link(str(wait.before), str(wait.after)) for wait in waits])
    except CycleError as problem:
        return list(problem.names)
    return []


def begun_behind(step, steps):
    """Those of its route's `steps` that wait for one, however far off, and were begun; in their order."""
    follow = {}
    for wait in waits_of(steps):
        follow.setdefault(wait.before, []).append(wait.after)
    reached, ahead = set(), [step.pk]
    while ahead:
        ahead = [after for before in ahead for after in follow.get(before, ()) if after not in reached]
        reached.update(ahead)
    begun = (step.State.UNDER_WAY, step.State.WAITING, step.State.DONE)
    return [one for one in steps if one.pk in reached and one.state in begun]
