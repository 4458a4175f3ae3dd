"""Which acts of the bench belong to which kind of step, and the deed that stands on each button."""

from dataclasses import dataclass

from django.urls import reverse

from projects.models import PanelDesign, Step

KIND = Step.Kind
LOOKED_AT = {KIND.DEMOULD, KIND.FLATTEN, KIND.MARK}
SAWN = {KIND.TEST_CUT, KIND.CUT}
SANDED = {KIND.LEVEL, KIND.SAND}
ACTS = {
    KIND.CONDITION: {"reading": "Write a reading"},
    KIND.MEASURE: {"reading": "Write a reading"},
    KIND.SEAL: {"seal": "Seal coat is on"},
    KIND.MOULD: {"mould": "Mould is built"},
    KIND.LOAD: {"strips": "Strips are in"},
    KIND.DEMOULD: {"demould": "It is out of the mould"},
    KIND.MARK: {"reading": "Write a reading"},
    KIND.GLUE_UP: {"glue-up": "Glued up"},
    KIND.LEVEL: {"sand": "Start sanding"},
    KIND.SAND: {"sand": "Start sanding"},
    KIND.COAT: {"coat": "Coat is on"},
}
"""The acts of a kind of step, the main one first; a kind that is not here is begun and done as a whole."""


def main_act(step):
    """The act that stands on the main button of a step's page and its deed; None without one."""
    return next(iter(ACTS.get(step.kind, {}).items()), None)


@dataclass(frozen=True)
class Door:
    """An act with the deed on its button and its address."""

    deed: str
    url: str


@dataclass(frozen=True)
class Doors:
    """The one main act of a step now, None where it is over, and what else can be done at it."""

    main: Door | None
    others: tuple[Door, ...]


def doors_of(step):
    """The acts of a step as it stands; a session of sanding that goes on comes before a new one."""
    wanted = [door(step, f"act-{act}", deed) for act, deed in ACTS.get(step.kind, {}).items()]
    going = [
        door(step, "sanding", f"Go on with {session}", session.key)
        for session in (step.sanding_sessions.going_on() if step.kind in SANDED else ())
    ]
    wanted = [*going, *wanted]
    over = step.state in {Step.State.DONE, Step.State.SKIPPED}
    main = None if over or not wanted else wanted.pop(0)
    always = [door(step, "act-reading", "Write a reading"), door(step, "act-clock", "Set a clock")]
    others = [each for each in [*leads_of(step), *wanted, *always] if each != main]
    return Doors(main, tuple(dict.fromkeys(others)))


def leads_of(step):
    """The pages of its block that a step leads to, whether it has acts or is done as a whole."""
    return [*comb_doors(step), *cut_doors(step), *flaw_doors(step)]


def comb_doors(step):
    """The way from the step at which combs are made to the comb of its own block."""
    if step.kind != KIND.COMBS or step.block is None:
        return []
    page = reverse("projects:combs-of", args=[step.shop.key, step.project.key, step.block.letter])
    return [Door("Open its comb", page)]


def cut_doors(step):
    """The way from a step at the saw to the settings that the panel asks of it."""
    if step.kind not in SAWN or not PanelDesign.objects.filter(project=step.project_id).exists():
        return []
    return [Door("Open the saw settings", reverse("projects:cuts", args=[step.shop.key, step.project.key]))]


def flaw_doors(step):
    """The way to the flaws of a step's block, where the block is looked at."""
    if step.kind not in LOOKED_AT or step.block is None:
        return []
    page = reverse("projects:flaws", args=[step.shop.key, step.project.key, step.block.key])
    return [Door("Mark a flaw", page)]


def door(step, name, deed, *rows):
    """One act of a step."""
    return Door(deed, reverse(f"projects:{name}", args=[step.shop.key, step.key, *rows]))
