"""A step in parts, and two steps as one. Both can be taken back."""

from django.db import transaction

from projects.actions import checks, link_rows, route
from projects.models import Step, StepLink
from workshop import history
from workshop.refusals import Refused

MOST_PARTS = 12


@transaction.atomic
def split_step(member, step, parts, *, at):
    """A step in so many parts, each with its share of the time, one behind the other.

    What it waits for the first part waits for; what waits for it waits for the last. Raises Refused where
    it was begun, where it goes by itself, or where the parts are too many.
    """
    route.lock(step.project)
    held = not_begun(step, "split")
    if held.is_passive:
        raise Refused(f"“{held}” goes by itself: there is nothing for hands to do in parts.")
    if not 2 <= parts <= MOST_PARTS:
        raise Refused(f"A step is split into 2 to {MOST_PARTS} parts.")
    if held.minutes < parts:
        raise Refused(f"It takes {held.minutes} min: each part needs a minute at least.")
    title, former = held.title, route.kept_of(held)
    kept = link_rows.kept_links(step.project)
    shares = even(held.minutes, parts)
    held.title, held.minutes = part_title(title, 1), shares[0]
    held.save(update_fields=["title", "minutes"])
    names = ("kind", "mode", "people", "machine", "assignee", "block")
    made = {"shop": member.shop, "created_at": at, "created_by": member.user, "project": held.project}
    shared = {name: getattr(held, name) for name in names}
    added = [
        Step.objects.create(**made, **shared, title=part_title(title, number), minutes=minutes)
        for number, minutes in enumerate(shares[1:], start=2)
    ]
    checks.copy(member, held, added, at=at)
    StepLink.objects.filter(before=held).update(before=added[-1])
    touched = route.insert(held, added)
    route.keep(
        member, held.project, f"split “{title}”", at=at, touched={**touched, held: former}, added=added,
        links=kept,
    )  # fmt: skip
    history.record(
        member, "split the step", held, at=at, label=f"{held.project.code} {title}", after={"parts": parts}
    )
    return [held, *added]


@transaction.atomic
def join_steps(member, step, *, at):
    """A step and the one behind it as one: their time together, both checklists, what both waited for.

    Raises Refused where one of them was begun, where they are different kinds of work, or where none follows.
    """
    route.lock(step.project)
    held = not_begun(step, "joined")
    other = follower(held)
    if other is None:
        raise Refused(f"No step follows “{held}”.")
    other = not_begun(other, "joined")
    if (held.kind, held.mode) != (other.kind, other.mode):
        raise Refused(f"“{held}” and “{other}” are different kinds of work. They stay two steps.")
    title, kept = held.title, link_rows.kept_links(step.project)
    former = {held: route.kept_of(held), other: route.kept_of(other)}
    lines = {held: route.lines_of(held)}
    held.title, held.minutes = joined_title(held.title, other.title), held.minutes + other.minutes
    held.people = max(held.people, other.people)
    held.save(update_fields=["title", "minutes", "people"])
    other.removed_at = at
    other.save(update_fields=["removed_at"])
    checks.take_over(member, held, route.lines_of(other), at=at)
    take_over_links(held, other)
    link_rows.stays_in_order(held.project)
    label = f"joined “{title}” and “{other}”"
    route.keep(member, held.project, label, at=at, touched=former, lines=lines, links=kept)
    history.record(
        member,
        "joined the step",
        held,
        at=at,
        label=f"{held.project.code} {title}",
        after={"with": str(other)},
    )
    return held


def not_begun(step, done):
    """A step held for a change. Raises Refused where it was begun."""
    held = Step.objects.select_for_update(of=("self",)).select_related("project", "block").get(pk=step.pk)
    if held.state != Step.State.TO_DO:
        raise Refused(
            f"“{held}” is {held.get_state_display()}. What has happened stays, so it can't be {done}."
        )
    return held


def follower(step):
    """The step behind one in its route; None for the last."""
    steps = route.in_place(step.project)
    number = steps.index(step)
    return steps[number + 1] if number + 1 < len(steps) else None


def even(minutes, parts):
    """Whole minutes in parts as even as can be, the longer ones first."""
    whole, rest = divmod(minutes, parts)
    return [whole + (number < rest) for number in range(parts)]


def part_title(title, number):
    """The words of one part: “Saw, part 2”."""
    return f"{title[:108]}, part {number}"


def joined_title(first, second):
    """The words of two steps as one: parts of one work lose their number, else both are said."""
    if first.rpartition(", part ")[0] and first.rpartition(", part ")[0] == second.rpartition(", part ")[0]:
        return first.rpartition(", part ")[0]
    return (first if first == second else f"{first}; {second}")[:120]


def take_over_links(held, other):
    """Links of the second step become the first one's; of two to the same step the stricter window stays."""
    StepLink.objects.filter(before=held, after=other).delete()
    for mine, its in (("before", "after"), ("after", "before")):
        own = {getattr(row, f"{its}_id"): row for row in StepLink.objects.filter(**{mine: held})}
        for row in StepLink.objects.filter(**{mine: other}):
            same = own.get(getattr(row, f"{its}_id"))
            if same is None:
                setattr(row, mine, held)
                row.save(update_fields=[mine])
                continue
            closes = [minutes for minutes in (same.close_min, row.close_min) if minutes is not None]
            same.open_min = max(same.open_min, row.open_min)
            same.close_min = max(min(closes), same.open_min) if closes else None
            same.hard = same.hard or row.hard
            same.save(update_fields=["open_min", "close_min", "hard"])
            row.delete()
