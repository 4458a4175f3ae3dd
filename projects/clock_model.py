"""Which rules a new clock follows: the sheet's until a cup test was read, then the model of that test.

The model's own word is asked for by `reckoned`: for clocks that follow it, and for the page of any clock.
"""

from dataclasses import replace

from materials.fit import clocks as fit
from materials.fit.advice import UNFITTED
from projects import fold, moving

EARLY_SHARE = 0.75
FILM_MM = 0.3  # a seal coat; common practice, no source
USUAL_WOOD_KG_M3 = 650.0


def of_cup(clocks, resin):
    """The clock of a cup, with what the model wants to know of it.

    How much sooner a cup thickens that is heavier than the sheet's, no sheet says: the model fitted to it
    may then make the clock shorter, never longer.
    """
    found = ruled(clocks, resin, fit.frozen(resin), {"meaning": str(resin.pot_meaning)})
    for clock in found:
        figures = clock["figures"]
        if figures.get("heavier") and "model" not in figures and (model := fit.frozen_sheet(resin)):
            clock["figures"] = {**figures, "law": moving.SHEET_FIT, "model": model}
    return found


def heavy_cup(resin, mixed_g, temp_c):
    """How long a heavy cup lasts by the model, on the safe side, and whether a cup of it was read.

    None for the minutes where the model has no word on it.
    """
    test = fit.frozen(resin)
    model = test or fit.frozen_sheet(resin)
    if model is None:
        return None, False
    figures = {"cup_g": round(mixed_g, 1), "meaning": str(resin.pot_meaning)}
    return SAFE["pot_life"](reckoned(figures, fit.thawed(model), ((0.0, temp_c),))), test is not None


def of_pour(clocks, block, resin, depth_mm, temp_c):
    """The clocks of a pour: those of the sheet, full cure, and the gel where a cup was read."""
    from projects.check.facts import wood_density_kg_m3

    model, lay = fit.frozen(resin), [depth_mm, block.strip_mm, block.gap_mm, wood_density_kg_m3(block)]
    found = ruled([*clocks, *full_cure(resin, temp_c)], resin, model, {"lay": lay})
    return [*found, *by_test_alone("gel", resin, model, lay, temp_c)]


def of_film(clocks, resin, temp_c):
    """The clock of a seal coat, and when it can be sanded where a cup was read."""
    if resin is None or temp_c is None:
        return clocks
    model, lay = fit.frozen(resin), [FILM_MM, 0, 0, USUAL_WOOD_KG_M3]
    found = ruled(clocks, resin, model, {"lay": lay})
    return [*found, *by_test_alone("sand", resin, model, lay, temp_c)]


def ruled(clocks, resin, model, figures):
    """Clocks with the resin they are about; by the test's rules where a cup of it was read."""
    rules = {"law": "cup_test", "model": model} if model else {}
    for clock in clocks:
        follows = rules if clock["kind"] not in SHEET_ALONE else {}
        clock["figures"] = {**clock["figures"], "resin_key": str(resin.key), **figures, **follows}
    return clocks


def full_cure(resin, temp_c):
    """The clock until a resin is as hard as it gets, where its sheet names one."""
    from materials import advice as shelf_advice

    if not resin.full_cure_h:
        return []
    figures = {"sheet_c": resin.recoat_c, "temp_c": temp_c, "law": "ten_degree", "resin": resin.name}
    minutes = 60 * shelf_advice.cure_hours(resin, resin.full_cure_h, temp_c)
    return [{"kind": "full_cure", "due_min": minutes, "figures": {**figures, "sheet_h": resin.full_cure_h}}]


def by_test_alone(kind, resin, model, lay, temp_c):
    """A clock of which no sheet says anything; none without a cup test."""
    if model is None:
        return []
    figures = {
        "resin": resin.name, "resin_key": str(resin.key), "lay": lay, "model": model, "law": "cup_test",
        "temp_c": temp_c,
    }  # fmt: skip
    minutes = SAFE[kind](reckoned(figures, fit.thawed(model), ((0.0, temp_c),)))
    return [] if minutes is None else [{"kind": kind, "due_min": minutes, "figures": figures}]


def reckoned(figures, bands, temps):
    """What the model says of a clock with these figures, by band: minutes of a cup, moments of a pour."""
    try:
        if "lay" in figures:
            return fit.pour_moments(bands, tuple(figures["lay"]), tuple(temps))
        if "meaning" in figures:
            return fit.cup_minutes(bands, figures["cup_g"], figures["meaning"], tuple(temps))
    except UNFITTED:
        return {}
    return {}


def moment_of(name, pick):
    """The soonest or the latest of all bands' words about one moment of a pour; None without any."""

    def of(moments):
        known = [getattr(each, name) for each in moments.values()]
        return pick((minutes for minutes in known if minutes is not None), default=None)

    return of


SHEET_ALONE = {"tack", "full_cure"}
SAFE = {
    "pot_life": lambda lives: min(lives.values(), default=None),
    "gel": moment_of("gel_first_min", min),
    "recoat": moment_of("next_min", max),
    "demould": moment_of("handling_min", max),
    "sand": moment_of("handling_min", max),
}
"""The model's word about the end of a clock, on the safe side of its bands."""
closes_of = moment_of("bond_closes_min", min)


def safe(sheet, figures, temps, closing):
    """A clock by sheet and model, whichever is on the safe side: a cup the sooner, a cure the later.

    `temps` are what its end goes through, `closing` what the end of its window does. A window opens at the
    later and closes at the earlier; where the model would close it before it opens, the sheet's end stands,
    and the clock says so.
    """
    bands = fit.thawed(figures["model"])
    minutes = SAFE[sheet.kind](reckoned(figures, bands, temps))
    if minutes is None:
        return sheet
    model = fold.later(sheet.started_at, minutes)
    if sheet.kind in ("gel", "sand"):
        return replace(sheet, due_at=model)
    if sheet.kind == "pot_life":
        return sooner(sheet, model, fold.later(sheet.started_at, EARLY_SHARE * minutes))
    due = max(sheet.due_at, model)
    if sheet.closes_at is None:
        return replace(sheet, due_at=due)
    bond = fold.later(sheet.started_at, closes_of(reckoned(figures, bands, closing)))
    return window(replace(sheet, due_at=due), bond)


def window(clock, bond):
    """A window that closes at the earlier of sheet and model, unless it would never have been open."""
    if bond is None:
        return clock
    if min(clock.closes_at, bond) > clock.due_at:
        return replace(clock, closes_at=min(clock.closes_at, bond))
    return replace(clock, figures={**clock.figures, "hard_at": bond.isoformat()})


def sooner(sheet, model, early):
    """The clock of a cup: rings and ends by whichever comes first."""
    if model >= sheet.due_at:
        return sheet
    return replace(sheet, due_at=model, early_at=min(early, sheet.early_at or early))
