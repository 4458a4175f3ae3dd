"""Writes the log, and lets states and clocks follow from it."""

from datetime import datetime

from projects import fold
from projects.actions import moving
from projects.models import EntryPicture, LogEntry, Project, Step, Timer
from projects.moving import FOLLOWS
from workshop import history


def write(
    member, kind, *, key, moment, project=None, step=None, batch=None, text="", detail=None, pictures=()
):
    """One entry of the log with its photos; the caller's transaction holds all that follows from it.

    What an act was done all the same for stands in its detail and is found by the search.
    """
    reason = (detail or {}).get("all_the_same") or {}
    entry = LogEntry.objects.create(
        shop=member.shop,
        key=key,
        created_at=moment.received_at,
        created_by=member.user,
        kind=kind,
        project=project or (step.project if step else None),
        step=step,
        batch=batch,
        happened_at=moment.happened_at,
        raw_happened_at=moment.raw_happened_at,
        received_at=moment.received_at,
        member=member,
        text=text[:1000],
        search=searchable(" ".join([text, *reason.get("against", ()), reason.get("why", "")]).strip()),
        detail=detail or {},
    )
    for picture, caption in pictures:
        add_picture(entry, picture, caption, at=moment.received_at, by=member.user)
    history.record(member, f"logged {kind}", entry, at=moment.received_at, label=text or str(kind))
    return entry


def searchable(text):
    """A text of the log as its search looks through it."""
    return text[:1000].casefold()[:1200]


def reason_in(values):
    """What an entry's detail holds of an act that was done all the same; nothing of any other.

    The stops of a check are left to the entries that overrule them.
    """
    kept = values.get("all_the_same")
    return {"all_the_same": kept} if kept and kept["against"] else {}


def add_picture(entry, picture, caption, *, at, by):
    """One more photo for an entry, after those it has."""
    return EntryPicture.objects.create(
        shop=entry.shop,
        created_at=at,
        created_by=by,
        entry=entry,
        picture=picture,
        order=entry.entry_pictures.count(),
        caption=caption[:200],
    )


def sentences(said, more):
    """The log's own words, then what the maker added."""
    return f"{said}. {more}" if more else said


def happened(entry):
    """An entry as the fold looks at it."""
    return fold.Happened(entry.kind, entry.happened_at, str(entry.key), entry.detail)


def start_clocks(entry):
    """The clocks that an entry's detail names, as rows; readings that came before the entry move them."""
    rows = [
        Timer.objects.create(
            shop=entry.shop,
            created_at=entry.received_at,
            created_by=entry.created_by,
            entry=entry,
            step=entry.step,
            batch=entry.batch,
            kind=clock.kind,
            name=clock.figures.get("name", "")[:80],
            started_at=clock.started_at,
            early_at=clock.early_at,
            due_at=clock.due_at,
            closes_at=clock.closes_at,
            law=clock.figures.get("law", "ten_degree"),
            figures=clock.figures,
        )
        for clock in fold.clocks_of(happened(entry))
    ]
    moving.follow(Timer.objects.filter(pk__in=[row.pk for row in rows if row.law in FOLLOWS]))
    return rows


def hold(step):
    """Lock a step's row until the act is done; the first thing that an act at the bench does.

    Two phones at one step then act one after the other: cups and pours get their own numbers, a cup is
    poured once, and no two acts wait for each other.
    """
    return Step.objects.select_for_update().get(pk=step.pk)


def settle_row(member, timer, moment, how):
    """A clock's row, answered; a reading that was taken after the answer moves it no more."""
    timer.settled_at, timer.settled_by, timer.settled_how = moment.happened_at, member, how[:200]
    timer.save(update_fields=["settled_at", "settled_by", "settled_how"])
    if any(datetime.fromisoformat(move["at"]) >= timer.settled_at for move in timer.figures.get("moves", [])):
        moving.follow(Timer.objects.filter(pk=timer.pk))


def follow(step):
    """Bring a step's state up to its log, whatever order the entries came in.

    Pours, glue-ups and coats bring the step that stands for their cure along; a pour ends the wait of its
    seal coat.
    """
    locked = hold(step)
    entries = [happened(entry) for entry in locked.entries.in_order()]
    if locked.kind == Step.Kind.CURE:
        entries += pours_of(locked.block_id) + taken_out(locked.block_id)
        set_state(locked, fold.cure_state(entries))
    elif locked.kind == Step.Kind.CLAMPED:
        set_state(locked, fold.cure_state(entries + glued_into(locked)))
    elif locked.kind == Step.Kind.SEAL:
        set_state(locked, fold.step_state(entries + poured_over(locked.block_id)))
    elif locked.kind == Step.Kind.DRY:
        set_state(locked, fold.cure_state(entries + coated_for(locked)))
    else:
        entries += taken_out(locked.block_id) if locked.kind == Step.Kind.POUR else []
        set_state(locked, fold.step_state(entries))
    step.state, step.started_at, step.ended_at = locked.state, locked.started_at, locked.ended_at
    for other in [*cures_of(locked), *seals_under(locked)]:
        follow(other)
    return step


def seals_under(step):
    """The seal coats whose wait ends when their block is poured in this step."""
    if step.kind != Step.Kind.POUR or step.block_id is None:
        return []
    return list(Step.objects.kept().filter(block=step.block_id, kind=Step.Kind.SEAL).in_order())


def cures_of(step):
    """The steps that stand for the cure of what is poured or glued in this one."""
    if step.kind == Step.Kind.POUR:
        cure = cure_step(step)
        return [cure] if cure else []
    if step.kind == Step.Kind.GLUE_UP:
        clamped = Step.objects.kept().filter(project=step.project_id, kind=Step.Kind.CLAMPED)
        return list(clamped.in_order())
    if step.kind == Step.Kind.COAT:
        return list(Step.objects.kept().filter(project=step.project_id, kind=Step.Kind.DRY).in_order())
    return []


def set_state(step, state):
    """A step's row as its log says."""
    step.state, step.started_at, step.ended_at = state.state, state.started_at, state.ended_at
    step.save(update_fields=["state", "started_at", "ended_at"])


def cure_step(step):
    """The step that stands for the cure of a pour's block; None where the pour waits itself."""
    cures = Step.objects.kept().filter(block=step.block_id, kind=Step.Kind.CURE)
    return cures.in_order().first() if step.block_id else None


def pours_of(block):
    """What the pours of a block mean for its cure: pours, and the clocks that were answered."""
    kinds = [LogEntry.Kind.POUR, LogEntry.Kind.CLOCK]
    rows = LogEntry.objects.kept().filter(step__block=block, step__kind=Step.Kind.POUR, kind__in=kinds)
    return [happened(entry) for entry in rows]


def taken_out(block):
    """What it means to the cure of a block that it was taken out: its demould clock is answered."""
    rows = LogEntry.objects.kept().filter(step__block=block, kind=LogEntry.Kind.DEMOULD) if block else ()
    return [fold.Happened("clock", entry.happened_at, str(entry.key), {"clock": "demould"}) for entry in rows]


def poured_over(block):
    """What the pours of a block mean to its seal coat: its clock is answered."""
    rows = LogEntry.objects.kept().filter(step__block=block, kind=LogEntry.Kind.POUR) if block else ()
    return [fold.Happened("clock", entry.happened_at, str(entry.key), {"clock": "tack"}) for entry in rows]


def clamped_step(step):
    """The step that stands for the glue's cure after a glue-up; None where the glue-up waits itself."""
    clamped = Step.objects.kept().filter(project=step.project_id, kind=Step.Kind.CLAMPED)
    return clamped.filter(position__gte=step.position).in_order().first()


def drying_step(step):
    """The step that stands for the drying of a coat: the next one, unless another coat comes before it."""
    kinds = [Step.Kind.COAT, Step.Kind.DRY]
    rows = Step.objects.kept().filter(project=step.project_id, kind__in=kinds, position__gt=step.position)
    after = rows.in_order().first()
    return after if after and after.kind == Step.Kind.DRY else None


def coated_for(step):
    """The coats that a step stands for, and what says that they are dry: their clock, or the next coat."""
    kinds = [LogEntry.Kind.COAT, LogEntry.Kind.CLOCK]
    rows = LogEntry.objects.kept().filter(project=step.project_id, kind__in=kinds)
    own, others = [], []
    for row in rows:
        (own if row.detail.get("cure_step") == str(step.key) else others).append(happened(row))
    dry = {"clock": "coat"}
    next_coats = [
        fold.Happened("clock", row.happened_at, row.key, dry) for row in others if row.kind == "coat"
    ]
    return own + next_coats


def glued_into(step):
    """The glue-ups that a step stands for, and the answers to their clamps."""
    kinds = [LogEntry.Kind.GLUE_UP, LogEntry.Kind.CLOCK]
    rows = LogEntry.objects.kept().filter(project=step.project_id, kind__in=kinds)
    return [happened(entry) for entry in rows if entry.detail.get("cure_step") == str(step.key)]


def under_way(project_id):
    """A project that was only an idea or planned is under way once something was done for it."""
    before = [Project.State.IDEA, Project.State.PLANNED]
    Project.objects.filter(pk=project_id, state__in=before).update(state=Project.State.UNDER_WAY)
