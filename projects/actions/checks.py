"""Checklists: the usual lines of a kind of step, then the sentences of the shop's lessons."""

from collections import defaultdict

from projects.checklists import checks_of
from projects.models import CheckItem, Lesson


def fill(member, steps, *, at):
    """Give new steps their checklists, in two questions however many they are."""
    learned = lessons_for(member.shop, steps)
    items = []
    for step in steps:
        usual = [(text, None) for text in checks_of(step.kind)]
        items += lines(member, step, [*usual, *learned[step.pk]], at=at)
    return CheckItem.objects.bulk_create(items)


def bring_lessons(member, steps, *, at):
    """Add to steps that nobody began what the shop has learned since their checklists were made."""
    steps = [step for step in steps if step.state == step.State.TO_DO]
    learned = lessons_for(member.shop, steps)
    there, after = set(), defaultdict(int)
    for item in CheckItem.objects.filter(step__in=steps):
        there.add((item.step_id, item.lesson_id))
        after[item.step_id] = max(after[item.step_id], item.position + 1)
    items = []
    for step in steps:
        new = [(text, lesson) for text, lesson in learned[step.pk] if (step.pk, lesson.pk) not in there]
        items += lines(member, step, new, at=at, after=after[step.pk])
    return CheckItem.objects.bulk_create(items)


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
            if step.kind == lesson.step_kind and speaks_of(lesson, step.block):
                found[step.pk].append((lesson.sentence, lesson))
    return found


def speaks_of(lesson, block):
    """Whether a lesson is meant for a block: it names no resin and no wood, or those of the block."""
    resin, species = (block.resin_id, block.species_id) if block else (None, None)
    return lesson.resin_id in (None, resin) and lesson.species_id in (None, species)
