"""Links as changes of a route keep them, and the order that they ask for."""

from projects.links import circle_in, waits_of
from projects.models import StepLink
from workshop.refusals import Refused

WINDOW = ("open_min", "close_min", "hard", "at_c", "law")


def stays_in_order(project):
    """Each step stands behind those that it waits for.

    Raises Refused naming the steps of a circle, or the two that stand the wrong way round.
    """
    steps = list(project.steps.kept().in_order())
    links = list(StepLink.objects.of_routes([project]).select_related("before", "after"))
    circle = circle_in(steps, waits_of(steps, links))
    if circle:
        raise Refused(f"These steps would wait for each other: {' → '.join([*circle, circle[0]])}.")
    places = {step.pk: number for number, step in enumerate(steps)}
    for link in links:
        if places[link.before_id] > places[link.after_id]:
            raise Refused(
                f"“{link.after}” waits for “{link.before}”, so it must stand behind it in the route. "
                "Move one of them, or take the link off."
            )


def kept_links(project):
    """All links of a project's route as plain values, by their keys."""
    return {str(row.key): kept_link(row) for row in StepLink.objects.of_project(project)}


def kept_link(row):
    """What a change may have to put back of a link."""
    values = {name: getattr(row, name) for name in WINDOW}
    return {"before": str(row.before.key), "after": str(row.after.key), **values, "law": str(row.law)}


def put_links_back(member, project, kept, *, at):
    """A route's links as they were before a change."""
    there = {str(row.key): row for row in StepLink.objects.of_project(project)}
    StepLink.objects.filter(before__project=project).exclude(key__in=kept).delete()
    steps = {str(step.key): step for step in project.steps.all()}
    for key, values in kept.items():
        row = there.get(key) or StepLink(
            shop=project.shop, key=key, created_at=at, created_by=member.user,
        )  # fmt: skip
        row.before, row.after = steps[values["before"]], steps[values["after"]]
        for name in WINDOW:
            setattr(row, name, values[name])
        row.save()
