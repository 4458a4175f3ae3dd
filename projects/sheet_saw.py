"""What a job sheet prints for the saw and of the combs, as plain values."""

from dataclasses import asdict

from materials.science.errors import OutOfRange
from projects import cautions
from projects.panel import named, sawing
from projects.panel.combing import usual_combs
from projects.panel.design import planned

MOST_PIECES = 4  # kinds of piece; more stand on Cuts
PRINTED = (
    "piece", "rip_mm", "gauges_deg", "sled_deg", "stop_mm", "second_stop_mm", "handling", "cuts",
    "tests", "bars",
)  # fmt: skip


def at_the_saw(kept, block):
    """How the saw is set for each piece of the panel, how many bars, and which come from this block."""
    if kept is None:
        return None
    machine = kept.row.saw
    try:
        settings = sawing.settings_of(kept.design, machine.gauge_max_deg if machine else None)
        rows = named.rows_of_plan(kept)
    except OutOfRange:
        return None
    own = [number for number, row in rows.items() if row.pk == block.pk]
    bars = planned(kept.design).bars
    return {
        "rows": [setting_facts(one) for one in settings[:MOST_PIECES]],
        "more": max(0, len(settings) - MOST_PIECES),
        "bars": len(bars),
        "own_bars": named.in_runs([bar.number for bar in bars if bar.block in own]),
        "trim_mm": kept.design.saw.trim_mm,
        "stub_mm": kept.design.saw.hold_mm,
        "care": cautions.AT_THE_SAW,
    }


def setting_facts(one):
    """What the sheet prints of one piece."""
    facts = {name: getattr(one, name) for name in PRINTED}
    return {name: list(value) if isinstance(value, tuple) else value for name, value in facts.items()}


def combs_facts(block, printer):
    """How many combs of how many slots, and where they stand; None where none can be made."""
    found = usual_combs(block, printer)
    return asdict(found) | {"slots": list(found.slots), "places_mm": list(found.places_mm)} if found else None
