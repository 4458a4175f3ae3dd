"""How much resin a block still wants, and in which cups it is mixed."""

from dataclasses import dataclass

from materials import advice as shelf_advice
from projects import advice
from projects.actions import bench as acts
from projects.models import LogEntry, Pour

NOTHING_G = 1.0  # less than that is no cup


@dataclass(frozen=True)
class Needed:
    """The mixed resin of a block in grams: of the whole, and what is in the mould by now."""

    total_g: float
    poured_g: float

    @property
    def left_g(self):
        """What the mould still wants."""
        return max(0.0, self.total_g - self.poured_g)

    @property
    def is_full(self):
        """Whether the mould wants no other cup."""
        return self.left_g < NOTHING_G


@dataclass(frozen=True)
class WantedCup:
    """One of so many cups that together make what the mould still wants."""

    cups: int
    left_g: float
    mix: shelf_advice.Mix

    @property
    def is_wanted(self):
        """Whether the mould wants another cup at all."""
        return self.left_g >= NOTHING_G

    @property
    def choices(self):
        """In how many cups it can be mixed."""
        return range(1, shelf_advice.MOST_CUPS + 1)


def needed(block, pours=None, resin=None):
    """How much mixed resin a block wants; None without a resin, or where its figures make no block.

    `pours` are those of the block with their cups, where somebody has asked for them already; `resin`
    is another than the block's own.
    """
    figures = advice.figures_or_reason(advice.values_of(block), resin or block.resin)[0]
    if figures is None or figures.mix is None:
        return None
    pours = Pour.objects.on(block) if pours is None else pours
    poured_g = sum(batch.mixed_g for pour in pours for batch in pour.batches.all())
    return Needed(figures.mix.mixed_g, poured_g)


def left_to_pour_mm(block):
    """How deep a block is still to be poured by its plan and its log; below nothing where it is over full."""
    poured = sum(Pour.objects.filter(block=block).values_list("depth_mm", flat=True))
    return block.fill_mm - poured


def depth_of(block, mixed_g):
    """How deep so many grams fill the mould of a block, as a share of the whole; None where no one knows."""
    whole = needed(block, pours=())
    return block.fill_mm * mixed_g / whole.total_g if whole and whole.total_g else None


def wanted_cup(step, resin, cups=None):
    """The next cup of a pour; in as many cups as the sheet's pot life asks for, unless `cups` says so."""
    need = needed(step.block)
    mixed_g = sum(batch.mixed_g for batch in acts.open_cups(step))
    left_g = max(need.left_g - mixed_g, 0) if need else 0
    cups = cups or cups_left(step, resin, need)
    # a top-up after all is in the mould: the sheet's own cup is as good a guess as any
    cup_g = left_g / cups if left_g >= NOTHING_G else resin.pot_mass_g
    return WantedCup(cups, left_g, shelf_advice.mix_of_mass(resin, cup_g))


def cups_left(step, resin, need):
    """In how many more cups to mix: as many as the whole takes, less those that were mixed."""
    if not need:
        return 1
    return cups_to_come(resin, need, acts.cups_mixed(step))


def cups_to_come(resin, need, mixed):
    """In how many cups the rest is mixed once so many were."""
    return max(1, shelf_advice.cups_of(resin, need.total_g) - mixed)


def mixed_since(step, at):
    """Whether a cup was mixed for a step since a moment."""
    return LogEntry.objects.filter(step=step, kind=LogEntry.Kind.MIX, happened_at__gt=at).exists()
