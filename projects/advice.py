"""The bridge from rows of projects to the calculations."""

import hashlib
import json
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from materials import advice as shelf_advice
from materials.science.errors import OutOfRange

GEOMETRY_VERSION = 1  # a change of what the figures mean makes sheets printed before it stale

SIZES = (
    "strip_mm",
    "gap_mm",
    "finished_mm",
    "flatten_mm",
    "edge_mm",
    "strips",
    "length_mm",
    "rim_mm",
    "over_mm",
)
SHARES = ("film_percent", "soak_percent")
# what a job sheet prints, or computes with, of a resin's data sheet
OF_THE_RESIN = (
    "parts_a", "parts_b", "density_a_g_ml", "density_b_g_ml", "refractive_index", "ratio_tolerance_percent",
    "pot_minutes", "pot_mass_g", "pot_c", "max_depth_mm", "min_c", "max_c",
    "recoat_open_h", "recoat_close_h", "demould_h", "recoat_c",
)  # fmt: skip


@dataclass(frozen=True)
class BlockFigures:
    """All that the Block page says about a block."""

    pitch_mm: float
    width_mm: float
    poured_mm: float
    resin_fraction: float
    gap_ml: float
    rim_ml: float
    over_ml: float
    film_ml: float
    soak_ml: float
    total_ml: float
    strips: int
    strips_length_mm: float
    mould_length_mm: float
    mould_width_mm: float
    fill_mm: float
    wall_mm: float
    cutoff_deg: float
    mix: shelf_advice.Mix | None
    deeper_than_sheet_mm: float | None


def block_figures(values, resin):
    """The figures of a block from its typed values (stored units); `resin` may be None.

    Raises OutOfRange where the values make no block.
    """
    from materials.science.light import viewing
    from projects.geometry import stack as geometry

    index = resin.refractive_index if resin else 1.55
    stack = stack_of(values, index)
    block = block_of(values, stack)
    need = geometry.needed_resin(block, values["film_percent"], values["soak_percent"])
    length_mm, width_mm, fill_mm = block.mould_inside_mm
    return BlockFigures(
        pitch_mm=stack.pitch_mm,
        width_mm=block.width_mm,
        poured_mm=stack.poured_depth_mm,
        resin_fraction=stack.resin_fraction,
        gap_ml=block.gap_ml,
        rim_ml=block.rim_ml,
        over_ml=block.over_ml,
        film_ml=need.film_ml,
        soak_ml=need.soak_ml,
        total_ml=need.total_ml,
        strips=block.strips,
        strips_length_mm=block.strips_length_mm,
        mould_length_mm=length_mm,
        mould_width_mm=width_mm,
        fill_mm=fill_mm,
        wall_mm=block.mould_wall_mm,
        cutoff_deg=viewing.cutoff_deg(stack.gap_mm, stack.depth_mm, index),
        mix=shelf_advice.mix_of_volume(resin, need.total_ml) if resin else None,
        deeper_than_sheet_mm=deeper_than_sheet(stack, resin),
    )


def deeper_than_sheet(stack, resin):
    """The sheet's depth over the resin fraction, where the pour is deeper than that; else None."""
    if resin is None or resin.max_depth_mm is None:
        return None
    allowed = resin.max_depth_mm / stack.resin_fraction
    return allowed if stack.poured_depth_mm > allowed else None


def sheet_depth_in_stack(block):
    """How deep the sheet lets this block's stack be poured at once: its depth over the resin fraction."""
    return depth_in_stack(block.resin, block)


def depth_in_stack(resin, block):
    """The same for a resin that need not be the block's own; None where its sheet names no depth."""
    if resin is None or resin.max_depth_mm is None:
        return None
    return resin.max_depth_mm / stack_of(values_of(block)).resin_fraction


def stack_of(values, index=1.55):
    """The pure stack of a block's values."""
    from projects.geometry.stack import Stack

    return Stack(
        strip_mm=values["strip_mm"],
        gap_mm=values["gap_mm"],
        depth_mm=values["finished_mm"],
        flatten_mm=values["flatten_mm"],
        edge_mm=values["edge_mm"],
        resin_index=index,
    )


def block_of(values, stack):
    """The pure block of a block's values."""
    from projects.geometry.stack import Block

    return Block(
        stack,
        strips=values["strips"],
        length_mm=values["length_mm"],
        rim_mm=values["rim_mm"],
        over_mm=values["over_mm"],
    )


def values_of(block):
    """A row's values under the names that forms and figures use."""
    return {name: getattr(block, name) for name in SIZES + SHARES}


def figures_or_reason(values, resin):
    """The figures, or None and the sentence that says why there are none."""
    try:
        return block_figures(values, resin), ""
    except OutOfRange as problem:
        return None, str(problem)


def design_hash(block):
    """Changes with any figure of the block or of its resin's data sheet that a job sheet prints."""
    resin = block.resin
    parts = {
        "geometry": GEOMETRY_VERSION,
        "values": canonical(values_of(block)),
        "resin": resin and str(resin.key),
        "resin_sheet": resin and {"basis": str(resin.basis), **canonical(sheet_values(resin))},
        "species": str(block.species.key) if block.species else None,
    }
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


def panel_hash(project):
    """Changes with anything that a panel's numbers, bars or cuts come from; empty without a panel."""
    from projects.panel.rows import design_hash as version_of

    return version_of(project)


def sheet_values(resin):
    """The figures of a resin's data sheet under their own names."""
    return {name: getattr(resin, name) for name in OF_THE_RESIN}


def canonical(values):
    """Figures in one spelling, so that a row just made and the same row read again give one hash."""
    return {name: None if value is None else float(value) for name, value in values.items()}


def pour_clocks(resin, temp_c):
    """The clocks that a pour starts, in minutes, as the sheet and the ten-degree rule give them."""

    def minutes(hours):
        found = shelf_advice.cure_hours(resin, hours, temp_c)
        return None if found is None else found * 60

    figures = {"sheet_c": resin.recoat_c, "temp_c": temp_c, "law": "ten_degree", "resin": resin.name}
    clocks = []
    if resin.recoat_open_h:
        clocks.append(
            {
                "kind": "recoat",
                "due_min": minutes(resin.recoat_open_h),
                "closes_min": minutes(resin.recoat_close_h),
                "figures": {
                    **figures,
                    "sheet_open_h": resin.recoat_open_h,
                    "sheet_close_h": resin.recoat_close_h,
                },
            }
        )
    if resin.demould_h:
        clocks.append(
            {
                "kind": "demould",
                "due_min": minutes(resin.demould_h),
                "figures": {
                    **figures,
                    "sheet_h": resin.demould_h,
                    "cold": shelf_advice.may_have_stopped(resin, temp_c),
                },
            }
        )
    return clocks


def cup_clocks(life, resin, mixed_g, temp_c):
    """The clock that starts when the parts of a cup meet.

    A cup heavier than the sheet's lasts less, nobody knows by how much: its clock runs for half the time
    alone, so that the figure on it is never the longer one.
    """
    figures = {
        "sheet_min": resin.pot_minutes,
        "sheet_g": resin.pot_mass_g,
        "sheet_c": resin.pot_c,
        "temp_c": temp_c,
        "cup_g": round(mixed_g, 1),
        "heavier": life.heavier,
        "law": "ten_degree",
        "resin": resin.name,
    }
    times = {"due_min": life.ring_minutes} if life.heavier else {
        "early_min": life.ring_minutes, "due_min": life.minutes
    }  # fmt: skip
    return [{"kind": "pot_life", **times, "figures": figures}]


def usual_minutes(block):
    """How long each named part of the work usually takes for a block; its resin's own hours where known."""
    from projects.planning.route import MINUTES, BlockFacts, Making

    resin = block.resin
    return {
        **MINUTES,
        "seal": MINUTES["seal_per_strip"] * block.strips,
        "delivery": Making.buy_days * 24 * 60,
        "cure": 60 * (cure_h_of(resin, block.shop.day_c) or BlockFacts.demould_h),
    }


def cure_h_of(resin, temp_c):
    """How long a block cures by its sheet, carried to this warmth as its clock will be; None if unsaid."""
    if resin is None or not resin.demould_h:
        return None
    return shelf_advice.cure_hours(resin, resin.demould_h, temp_c)


def conditions_of(facts, tz):
    """Which conditions that spoil pours held for one, from its gathered facts; `tz` says what day it was."""
    from projects.review import conditions as review

    if not facts.get("cups"):
        return {}
    cups = [
        review.Cup(
            room_c=cup["room_c"],
            humidity_percent=cup["humidity_percent"],
            min_c=cup.get("sheet_min_c"),
            ratio_off_percent=cup["ratio_off_percent"],
            tolerance_percent=cup.get("tolerance_percent"),
            b_past_date=was_past(cup["use_by_b"], cup["met_at"], tz),
            minutes_to_pour=cup["minutes_to_pour"],
            pot_life_min=cup["pot_life_min"],
            heavier=cup["pot_life_heavier"],
        )
        for cup in facts["cups"]
    ]
    seal = facts.get("seal")
    coat = review.Coat(**{name: seal[name] for name in ("age_h", "opens_h", "closes_h")}) if seal else None
    return review.conditions(cups, facts["depth_mm"], facts.get("allowed_mm"), coat)


def was_past(use_by, met_at, tz):
    """Whether a bottle was past its date when it was used, both as kept in facts; None without a date."""
    if not use_by:
        return None
    return datetime.fromisoformat(met_at).astimezone(tz).date() > date.fromisoformat(use_by)


def contrasts(pours, kind):
    """What the pours of one kind of failure had in common; `pours` are pairs of kinds and conditions."""
    from projects.review import counts

    return counts.contrasts([counts.Seen(frozenset(kinds), held) for kinds, held in pours], kind)


def chance_in_words(chance):
    """How far chance alone explains a contrast."""
    from projects.review import counts

    return counts.chance_in_words(chance)


def limits_of_conditions():
    """Below how many degrees a pour was cold, above how many percent its air was damp."""
    from projects.review import conditions as review

    return review.COLD_C, review.DAMP_PERCENT


def window_clocks(kind, sheet, open_h, close_h, temp_c):
    """The clock of a window, from the hours of a resin's or a finish's sheet; none without an opening.

    The ten-degree rule carries them to the warmth of the shop; without one they stand as they are.
    """
    if not open_h:
        return []
    law = "ten_degree" if sheet is not None and temp_c is not None else "wall"

    def minutes(hours):
        found = shelf_advice.cure_hours(sheet, hours, temp_c) if law == "ten_degree" else hours
        return None if found is None else found * 60

    figures = {"law": law, "sheet_open_h": open_h, "sheet_close_h": close_h}
    if law == "ten_degree":
        cold = shelf_advice.may_have_stopped(sheet, temp_c) if kind == "tack" else False
        figures |= {"sheet_c": sheet.recoat_c, "temp_c": temp_c, "resin": sheet.name, "cold": cold}
    return [{"kind": kind, "due_min": minutes(open_h), "closes_min": minutes(close_h), "figures": figures}]


def planned_measures(block):
    """What a block should measure as it leaves the mould, without its rim; empty where it can't be built."""
    figures = figures_or_reason(values_of(block), None)[0]
    if figures is None:
        return {}
    return {"length_mm": block.length_mm, "width_mm": figures.width_mm, "depth_mm": figures.fill_mm}


SCHEDULED_DAYS = 500  # how far ahead work is laid out
WAITS = {"seal": "tack", "mould": "sealant", "check": "evening"}
"""Kinds of step that wait by themselves after the work, by the name of their usual minutes."""


def first_schedule(shop, steps, over, at, *, waits=(), past=(), gone=(), again=None):
    """When each open step can be done at the earliest: `projects.planning.forward` over rows.

    `steps` are those of all projects the shop works on, each project's in order; `over` holds, by the pk of
    a step that waits, when its clock says that it is over. `waits` are what waits for what, `past` pairs of
    a wait for what is done and the moment it ended, `gone` the stretches in which nobody is there. `again`
    holds by pk what has begun and is not gone on with now: from when on it is, None where what it waits for
    says so. Gives a Placed or None by the pk of the step.
    """
    from projects.planning.absences import without
    from projects.planning.calendar import opening_sessions
    from projects.planning.forward import Job, lay_out
    from workshop import hours

    begun = [step.started_at for step in steps if step.started_at]
    since = min([at, *begun]).astimezone(shop.tz).date() - timedelta(days=1)
    days = SCHEDULED_DAYS + (at.astimezone(shop.tz).date() - since).days
    sessions = opening_sessions(shop.zone, hours.week_of(shop), hours.exceptions_of(shop, since), since, days)
    jobs, after, least = {}, {}, {}
    for wait in waits:
        after.setdefault(wait.after.pk, []).append((str(wait.before.pk), least_minutes(wait)))
    for wait, ended_at in past:
        opens = ended_at + timedelta(minutes=least_minutes(wait))
        least[wait.after.pk] = max(opens, least.get(wait.after.pk, opens))
    for step in steps:
        job = jobs.setdefault(step.project_id, Job(str(step.project_id), [], step.project.due_on))
        work = work_of(step, over.get(step.pk), at)
        if again and step.pk in again:
            work = replace(work, began=again[step.pk], until=None)
        job.steps.append(replace(work, after=after.get(step.pk, ()), not_before=least.get(step.pk)))
    placed = lay_out(list(jobs.values()), without(sessions, gone), at)
    return {step.pk: placed[str(step.pk)] for step in steps}


def least_minutes(wait):
    """How long a wait is at least; hours that follow the warmth are taken as at their own temperature."""
    by_warmth = wait.cure[0] * 60 if wait.cure else 0
    return max(wait.open_minutes, by_warmth)


def work_of(step, over, at):
    """A step as the forward pass reads it."""
    from projects.planning.forward import Work
    from projects.planning.route import MINUTES

    waits = MINUTES[WAITS[step.kind]] if step.kind in WAITS else 0
    until = None
    if step.state == step.State.WAITING:
        until = over or (at if not step.is_passive else None)
    return Work(
        str(step.pk),
        step.minutes,
        passive=step.is_passive,
        waits_minutes=0 if step.is_passive else waits,
        began=step.started_at,
        until=until,
    )
