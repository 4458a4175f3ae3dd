"""Which acts of the bench belong to which kind of step, and the deed that stands on each button."""

from projects.models import Step

KIND = Step.Kind
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
