"""Checklists: the usual lines of a kind of step, then the sentences of the shop's lessons."""

from collections import defaultdict

from projects.actions import lessons
from projects.checklists import checks_of
from projects.models import CheckItem, Lesson, Step


def fill(member, steps, *, at):
    """Give new steps their checklists, in two questions however many they are."""
    learned = lessons_for(member.shop, steps)
    items = []
    for step in steps:
        usual = [(text, None) for text in checks_of(step.kind, passive=step.is_passive)]
        items += lines(member, step, [*usual, *learned[step.pk]], at=at)
    return CheckItem.objects.bulk_create(items)


def copy(member, step, others, *, at):
    """The lines of a step's checklist onto others, not yet ticked."""
    pairs = [(item.text, item.lesson) for item in step.checks.select_related("lesson")]
    CheckItem.objects.bulk_create(line for other in others for line in lines(member, other, pairs, at=at))


def take_over(member, step, items, *, at):
    """Lines of another checklist that a step's own lacks, behind its own."""
    own = list(step.checks.all())
    there, place = {item.text for item in own}, max((item.position for item in own), default=-1) + 1
    pairs = [(item.text, item.lesson) for item in items if item.text not in there]
    CheckItem.objects.bulk_create(lines(member, step, pairs, at=at, after=place))


def bring_lessons(member, steps, *, at):
    """Bring the checklists of those steps that are to do in line with what the shop has learned since."""
    rows = Step.objects.filter(pk__in=[step.pk for step in steps])
    lessons.follow(rows, at=at, by=member.user)


def lines(member, step, pairs, *, at, after=0):
    """Rows of a checklist from pairs of text and lesson, the first in place `after`."""
    made = {"shop": member.shop, "created_at": at, "created_by": member.user, "step": step}
    return [
        CheckItem(**made, position=position, text=text, lesson=lesson)
        for position, (text, lesson) in enumerate(pairs, start=after)
    ]


def lessons_for(shop, steps):
    """For each step the lessons in use of its kind, and of its resin and wood or of any, as pairs."""
    kinds = {step.kind for step in steps}
    found = defaultdict(list)
    for lesson in Lesson.objects.of(shop).in_use().filter(step_kind__in=kinds).order_by("created_at", "pk"):
        for step in steps:
            if lesson.belongs_to(step):
                found[step.pk].append((lesson.sentence, lesson))
    return found
