"""Why something went wrong, and the line on later checklists that keeps it from coming back."""

from django.db import transaction
from django.db.models import Max

from projects.models import Cause, CheckItem, Lesson, Project, Step
from workshop import history

TOLD = {
    Cause.Status.SUSPECTED: "suspected",
    Cause.Status.CONFIRMED: "confirmed",
    Cause.Status.RULED_OUT: "ruled out",
}


@transaction.atomic
def suspect(member, failure, *, code, status, evidence, at):
    """A cause of a failure, new or thought of again: `code`, how sure it is, and what speaks for it."""
    # the failure's row is locked so that two who name the same cause at once leave one of it
    type(failure).objects.select_for_update().get(pk=failure.pk)
    cause = Cause.objects.filter(failure=failure, code=code).first()
    if cause and (cause.status, cause.evidence) == (status, evidence):
        return cause
    before = {"evidence": cause.evidence} if cause else {}
    if cause is None:
        cause = Cause(shop=member.shop, created_at=at, created_by=member.user, failure=failure, code=code)
    cause.status, cause.evidence = status, evidence
    cause.save()
    history.record(
        member,
        TOLD[Cause.Status(status)],
        cause,
        at=at,
        label=f"{failure}: {cause}",
        before=before,
        after={"evidence": evidence},
    )
    return cause


@transaction.atomic
def learn(member, values, *, at):
    """A lesson, and its line on the checklists of all steps to do that it belongs to.

    `values`: sentence, step_kind, and a failure, a resin and a species or None.
    """
    lesson = Lesson.objects.create(shop=member.shop, created_at=at, created_by=member.user, **values)
    history.record(
        member,
        "learned",
        lesson,
        at=at,
        label=lesson.sentence,
        after={"for": lesson.get_step_kind_display()},
    )
    follow(steps_of(lesson), at=at, by=member.user)
    return lesson


@transaction.atomic
def retire(member, lesson, *, at, retired):
    """Let a lesson go, or bring it back; checklists of steps to do follow, what was ticked stays."""
    locked = Lesson.objects.select_for_update().get(pk=lesson.pk)
    if bool(locked.retired_at) == retired:
        return locked
    locked.retired_at = at if retired else None
    locked.save(update_fields=["retired_at"])
    history.record(member, "let go of" if retired else "brought back", locked, at=at, label=locked.sentence)
    follow(steps_of(locked), at=at, by=member.user)
    return locked


def steps_of(lesson):
    """The steps of live projects that a lesson may stand on."""
    steps = Step.objects.of(lesson.shop).kept().filter(kind=lesson.step_kind)
    return steps.filter(project__state__in=Project.LIVE)


@transaction.atomic
def follow(steps, *, at, by):
    """Bring the checklists of those steps that are to do in line with the lessons in use.

    `steps` is a queryset. Call it after a project was taken up, or a block got another resin or wood.
    Lines that are missing are added at the end; unticked ones of lessons that no longer belong are taken off.
    """
    to_do = steps.kept().filter(state=Step.State.TO_DO).select_related("block")
    rows = list(to_do.annotate(last=Max("checks__position")))
    in_use = Lesson.objects.in_use().filter(shop__in={step.shop_id for step in rows})
    learned = list(in_use.order_by("created_at", "pk"))
    items = CheckItem.objects.filter(step__in=rows).exclude(lesson=None)
    there = {(item.step_id, item.lesson_id): item for item in items}
    wanted = {
        (step.pk, lesson.pk): (step, lesson) for step in rows for lesson in learned if lesson.belongs_to(step)
    }
    gone = [item.pk for pair, item in there.items() if pair not in wanted and item.ticked_at is None]
    CheckItem.objects.filter(pk__in=gone).delete()
    put_on([both for pair, both in wanted.items() if pair not in there], at=at, by=by)


def put_on(pairs, *, at, by):
    """The lines of lessons on steps, each after what its step's checklist holds."""
    rows, added = [], {}
    for step, lesson in pairs:
        added[step.pk] = added.get(step.pk, -1 if step.last is None else step.last) + 1
        rows.append(
            CheckItem(
                shop_id=step.shop_id,
                created_at=at,
                created_by=by,
                step=step,
                position=added[step.pk],
                text=lesson.sentence,
                lesson=lesson,
            )
        )
    CheckItem.objects.bulk_create(rows)
