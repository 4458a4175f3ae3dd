"""Gathers what is known before a mix in the units of the calculation, and asks it: the check's bridge."""

from dataclasses import dataclass, field, replace
from datetime import timedelta

from materials import advice as shelf_advice
from materials.fit import advice as fits
from materials.models import Reading
from materials.science.errors import OutOfRange
from projects import advice, mixing
from projects.check import asked, below, coat
from projects.models import Need
from workshop import hours

GRAVITY_M_PER_S2 = 9.80665
HEAD_MM = 10.0  # by which neighbouring gaps may differ while they fill; common practice, no source
FAR_H = 96.0


@dataclass(frozen=True)
class Outlook:
    """The forecasts of a pour by band, how they were fitted, and what could not be reckoned."""

    predictions: dict = field(default_factory=dict)
    kinetics: object = None
    safe_kinetics: object = None
    flags: tuple = ()
    why_not: str = ""
    test: object = None
    """The cup test that the forecasts rest on; None where they rest on the sheet alone."""
    lies: object = None
    """What earlier pours have come to by now, as expected; None where nothing of them is carried on."""
    alone_c: float | None = None
    """How hot it is expected to get in an empty mould, where something lies in it."""


@dataclass(frozen=True)
class Checked:
    """A check as it was reckoned: its findings, its forecasts, and the answers behind them."""

    findings: list
    outlook: Outlook
    facts: object
    clocks: tuple
    mould: below.Mould = field(default_factory=below.Mould)


def check(step, answers, at):
    """Every finding about a step with these answers at a moment."""
    from materials.science.resin.verdict import judge_pour

    resin = answers["resin"]
    mould = below.mould_of(step, resin, at)
    outlook = outlook_of(step, answers, mould.reckoned)
    facts = facts_of(step, answers, outlook, at, mould)
    findings = [
        coat.told(finding, facts.seal_window, at, step.shop.tz)
        for finding in judge_pour(facts)
        if concerns(step, finding)
    ]
    clocks = tuple(advice.pour_clocks(resin, warm_c(step, answers))) if resin else ()
    return Checked(findings, outlook, facts, clocks, mould)


def concerns(step, finding):
    """Whether a finding is about a step of this kind: a film on wood has no mould."""
    if step.kind not in asked.COATS:
        return True
    return finding.code != "mould" and finding.remedy != "Look the mould over."


def outlook_of(step, answers, lying=()):
    """The forecasts by band, from the resin's newest cup test or its sheet; none if neither is fit for it.

    `lying` are earlier pours whose heat and cure are carried on.
    """
    from materials.science.resin import upon

    resin = answers["resin"]
    if resin is None or not answers["depth_mm"]:
        return Outlook(why_not="Choose a resin, then the heat can be reckoned.")
    try:
        bands, layup = fits.bands_of(resin), layup_of(step, answers)
        fits_of = bands.kinetics | ({"depth_fit": bands.depth_kinetics} if bands.depth_kinetics else {})
        predictions = {band: upon.predict_pour_on(own, layup, lying) for band, own in fits_of.items()}
    except fits.UNFITTED as problem:
        return Outlook(why_not=str(problem))
    own = bands.kinetics
    outlook = Outlook(predictions, own["nominal"], own["cautious"], bands.flags, test=bands.test)
    if not lying:
        return outlook
    alone = upon.predict_pour_on(outlook.kinetics, layup, ())
    return replace(outlook, lies=upon.carried(outlook.kinetics, layup, lying), alone_c=alone.peak_c)


def layup_of(step, answers):
    """One lift on its board."""
    from materials.science.resin.layup import Layup

    strip_mm, gap_mm = stack_of(step)
    return Layup(
        answers["depth_mm"] / answers["lifts"],
        strip_mm,
        gap_mm,
        shop_c=warm_c(step, answers),
        mould_mm=answers["board_mm"],
        mould=answers["board"],
        wood_density_kg_m3=wood_density_kg_m3(step.block),
    )


def warm_c(step, answers):
    """How warm the shop is taken to be: as it was read, else as it usually is by day."""
    return step.shop.day_c if answers["shop_c"] is None else answers["shop_c"]


def stack_of(step):
    """Strip and gap of the step's block; 0 and 0 for a film, which stands on no strips."""
    if step.kind in asked.COATS or step.block is None:
        return 0, 0
    return step.block.strip_mm, step.block.gap_mm


def wood_density_kg_m3(block):
    """The density of the strips; the model's usual one where the wood is not known."""
    from materials.science.wood.species import density_kg_m3

    if block is None or block.species is None or not block.species.specific_gravity:
        return 650.0
    return density_kg_m3(block.species.specific_gravity, 8)


def facts_of(step, answers, outlook, at, mould):
    """All that the check looks at; None where nothing was read."""
    from materials.science.resin.facts import PourFacts

    strip_mm, gap_mm = stack_of(step)
    values = {
        "predictions": outlook.predictions,
        "depth_mm": answers["depth_mm"] and answers["depth_mm"] / answers["lifts"],
        "strip_mm": strip_mm,
        "gap_mm": gap_mm,
        "weakest_part_c": answers["weakest_c"],
        "mix_fill_min": answers["mix_fill_min"],
        "tint_percent": answers["tint_percent"],
        "use": "coating" if step.kind in asked.COATS else "casting",
        "combs_at_ends": {"yes": True, "no": False}.get(answers["combs_at_ends"]),
        "mould_checks": mould_checks(step, answers),
        **air(answers),
        **wood(step, answers, at),
    }
    if answers["resin"] is not None:
        values |= bottles(step, answers, at) | liquid(step, answers, outlook)
        values |= lifts(step, answers, outlook, at, mould.reckoned)
        values |= below.facts_of(mould, outlook, at)
    return PourFacts(**values)


def mould_checks(step, answers):
    """Each look at the mould, taken or not; a film needs none."""
    from materials.science.resin.facts import MOULD_CHECKS

    if step.kind in asked.COATS:
        return dict.fromkeys(MOULD_CHECKS, True)
    return {name: name in answers["mould_checks"] or None for name in MOULD_CHECKS}


def air(answers):
    """The shop's air now and tonight, and how far wood and mould are above the dew point."""
    from materials.science.wood import moisture

    shop_c, humidity, margin = answers["shop_c"], answers["humidity_percent"], None
    if shop_c is not None and humidity is not None:
        surface = answers["surface_c"] if answers["surface_c"] is not None else shop_c
        try:
            margin = moisture.dew_margin_k(surface, shop_c, humidity)
        except OutOfRange:
            margin = None
    return {
        "shop_c": shop_c,
        "night_low_c": answers["night_c"],
        "humidity_percent": humidity,
        "dew_margin_k": margin,
    }


def wood(step, answers, at):
    """Moisture, bow, float, and the seal coat; nothing for a film."""
    if not stack_of(step)[0]:
        return {}
    reading = Reading.objects.of(step.shop).latest_of(Reading.Kind.MOISTURE)
    age_h = (at - reading.taken_at).total_seconds() / 3600 if reading else None
    own = answers["strip_moisture_percent"]
    if reading and own is not None and abs(own - reading.value) > 1e-9:
        age_h = 0.0  # typed just now
    return {
        "strip_moisture_percent": own,
        "service_moisture_percent": answers["service_percent"],
        "moisture_age_h": 0.0 if reading is None and own is not None else age_h,
        "seal_window": coat.window_of(step, at),
        "held_down": answers.get("held_down"),
        **bow(step.block, answers),
        **floating(step.block, answers),
    }


def bow(block, answers):
    """How far a strip bows between its combs, and the spacing that would do."""
    from materials.science.wood import strips

    stiff = block.species.modulus_gpa if block.species else None
    if not stiff or not answers["comb_spacing_mm"]:
        return {}
    head = min(HEAD_MM, answers["depth_mm"] or HEAD_MM)
    try:
        return {
            "bow_mm": strips.bow_mm(block.strip_mm, answers["comb_spacing_mm"], head, stiff),
            "comb_spacing_mm": strips.largest_span_mm(block.strip_mm, head, stiff, 0.1 * block.gap_mm),
        }
    except OutOfRange:
        return {}


def floating(block, answers):
    """How hard the strips push upwards, and what lies on them."""
    from materials.science.wood import strips

    held = answers["hold_down_g"]
    try:
        one_n = strips.float_force_n(
            block.strip_mm,
            block.poured_mm,
            block.length_mm,
            wood_density_kg_m3(block),
        )
    except OutOfRange:
        return {}
    return {
        "float_n": max(one_n, 0.0) * block.strips,
        "hold_down_n": None if held is None else held / 1000 * GRAVITY_M_PER_S2,
    }


def bottles(step, answers, at):
    """What stands on the shelf for this cup: how much, of what age; and what the cup takes."""
    resin, today = answers["resin"], at.astimezone(step.shop.tz).date()
    parts = shelf_advice.parts_by_mass(resin)
    lots = {part: asked.bottles(resin, part, today) for part in "AB"}
    wanted_g = wanted_mixed_g(step, resin)
    free_g = min(
        free_of(step, resin, part, lots[part]) * sum(parts) / share
        for part, share in zip("AB", parts, strict=True)
    )
    facts = {
        "resin_kind": resin.use,
        "sheet_depth_mm": resin.max_depth_mm,
        "sheet_min_c": resin.min_c,
        "sheet_max_c": resin.max_c,
        "resin_free_g": free_g,
        "scale_step_g": asked.scale_step_g(step.shop),
        "parts_match": True if lots["A"] and lots["B"] else None,
        "part_a_days_left": asked.days_left(lots["A"], today),
        "part_b_days_left": asked.days_left(lots["B"], today),
    }
    if wanted_g:
        cup_g = wanted_g / answers["lifts"] / answers["cups"]
        facts |= {
            "resin_needed_g": wanted_g,
            "cup_mass_g": cup_g,
            "part_b_per_cup_g": cup_g * parts[1] / sum(parts),
        }
    return facts


def wanted_mixed_g(step, resin):
    """How much the step still takes, in grams of mixed resin; None where nothing says so."""
    if step.kind in asked.COATS or step.block is None:
        return None
    need = mixing.needed(step.block, resin=resin)
    return need and max(need.left_g, 1.0)


def free_of(step, resin, part, lots):
    """What the shelf holds of a part that no other project wants, in grams."""
    elsewhere = Need.objects.of(step.shop).open().filter(resin=resin, part=part)
    promised = sum(need.amount for need in elsewhere.exclude(project=step.project_id))
    return max(sum(lot.on_hand for lot in lots) - promised, 0.0)


def liquid(step, answers, outlook):
    """Pot life of this cup, heat of a cup left standing, filling, and the bubbles that get out."""
    from materials.science.resin import cups, flow, kinetics

    wanted_g = wanted_mixed_g(step, answers["resin"])
    if outlook.safe_kinetics is None or not wanted_g:
        return {}
    cup_g, temp_c = wanted_g / answers["lifts"] / answers["cups"], warm_c(step, answers)
    try:
        thick = kinetics.viscosity_pa_s(outlook.kinetics, 0, temp_c)
        found = {
            "pot_life_min": cups.pot_life_min(outlook.safe_kinetics, cup_g, temp_c),
            "cup_peak_c": cups.predict_cup(outlook.safe_kinetics, cup_g, temp_c).peak_c,
        }
        strip_mm, gap_mm = stack_of(step)
        if strip_mm:
            found["fill_s"] = fill_s(flow, step.block, answers, thick)
            found["smallest_bubble_um"] = flow.smallest_escaping_bubble_um(
                outlook.safe_kinetics, outlook.predictions["cautious"], gap_mm
            )
    except OutOfRange:
        return {}
    return found


def fill_s(flow, block, answers, viscosity_pa_s):
    """How long the gaps take to fill, from above or from one end."""
    depth_mm = answers["depth_mm"] / answers["lifts"]
    if answers["fill_from"] == "end":
        return flow.fill_time_from_end_s(block.length_mm, depth_mm, block.gap_mm, viscosity_pa_s)
    return flow.fill_time_from_top_s(depth_mm, block.gap_mm, viscosity_pa_s)


def lifts(step, answers, outlook, at, lying):
    """A pour in several: what each lift does, and whether somebody is there when the next must follow."""
    from materials.science.resin.lifts import plan_lifts_on

    if answers["lifts"] < 2 or outlook.safe_kinetics is None:
        return {}
    layup = layup_of(step, {**answers, "lifts": 1})
    limit_c = answers["weakest_c"] or asked.SOFTENS_C
    plan = plan_lifts_on(outlook.safe_kinetics, layup, answers["lifts"], lying, limit_c)
    return {"lifts": plan, "lift_windows": tuple(lift_windows(step, answers, plan, at))}


def lift_windows(step, answers, plan, at):
    """Each lift's window, the later opening and the earlier closing of model and sheet, in opening hours."""
    from materials.science.resin.facts import LiftWindow

    resin, temp_c, begun = answers["resin"], warm_c(step, answers), at
    sheet_open = shelf_advice.cure_hours(resin, resin.recoat_open_h, temp_c) or 0
    sheet_close = shelf_advice.cure_hours(resin, resin.recoat_close_h, temp_c)
    for number, lift in enumerate(plan.lifts[:-1], start=1):
        if lift.wait_h is None:
            return
        opens = max(lift.wait_h, sheet_open)
        ends = [hour for hour in (lift.bond_closes_h, sheet_close) if hour is not None]
        closes = max(min(ends), opens) if ends else None
        workable = workable_h(step.shop, begun, opens, FAR_H if closes is None else closes)
        yield LiftWindow(number, opens, closes, workable)
        begun += timedelta(hours=opens)


def workable_h(shop, begun, opens_h, closes_h):
    """How many hours of a window the shop is open."""
    start, end = begun + timedelta(hours=opens_h), begun + timedelta(hours=closes_h)
    return sum(
        max((min(close, end) - max(opened, start)).total_seconds(), 0) / 3600
        for opened, close in sessions(shop, start, end)
    )


def sessions(shop, start, end):
    """The opening hours of a shop from a day before a moment to a day after another."""
    from projects.planning.calendar import opening_sessions

    first = start.astimezone(shop.tz).date() - timedelta(days=1)
    days = (end - start).days + 3
    return opening_sessions(shop.zone, hours.week_of(shop), hours.exceptions_of(shop, first), first, days)
