"""What is known before a mix, and what the check makes of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from materials.science.resin.exotherm import PourPrediction
from materials.science.resin.lifts import LiftPlan

Level = Literal["clear", "caution", "stop"]
Use = Literal["coating", "casting"]
Forecast = Literal["cool", "nominal", "cautious", "depth_fit"]
Code = Literal[
    "heat", "cup_heat", "lift", "lift_window", "pot_life", "fill", "bubbles", "bow", "float", "quantity",
    "ratio_scale", "lots", "temperature", "dew_point", "strip_moisture", "seal_coat", "mould", "combs",
    "tint", "kind_of_resin", "earlier_pour", "missing_reading",
]  # fmt: skip
MOULD_CHECKS = ("taped", "sealed", "sealant dry", "leak-tested", "levelled", "tray under it")


@dataclass(frozen=True)
class LiftWindow:
    """When the next lift may follow, as planning found it.

    Parameters: lift, counted from 1; opens_h and closes_h after the pour of that lift (None: it does not
    close); workable_h, how much of it falls in opening hours.

    >>> LiftWindow(1, 3.2, 6.0, 0.0).workable_h
    0.0
    """

    lift: int
    opens_h: float
    closes_h: float | None
    workable_h: float


@dataclass(frozen=True)
class SealWindow:
    """The seal coat's window at the time of the pour.

    Parameters: since_h, since the seal coat (None: there is none); opens_h, when it is dry enough; closes_h,
    until when the next bonds without abrading (None: not stated).

    >>> SealWindow(10, 6, 24).state
    'inside'
    """

    since_h: float | None
    opens_h: float = 0
    closes_h: float | None = None

    @property
    def state(self) -> Literal["missing", "early", "inside", "late"]:
        """Whether the pour would come too early, inside, or too late."""
        if self.since_h is None:
            return "missing"
        if self.since_h < self.opens_h:
            return "early"
        return "late" if self.closes_h is not None and self.since_h > self.closes_h else "inside"


@dataclass(frozen=True)
class PourWindow:
    """The window of the pour that lies in the mould, at the time of the next.

    Parameters: lift, counted from 1; since_h, since it was poured; opens_h and closes_h after it (None: the
    sheet does not say); liquid, whether it could still be poured itself; soft, whether by the model its
    surface has not gelled; too_hard, whether by the model it is too hard to bond by itself; reckoned, whether
    the predictions know its heat or it has none.

    >>> PourWindow(1, 3, 6, 24).state, PourWindow(1, 0.2, 6, 24, liquid=True).state
    ('early', 'liquid')
    """

    lift: int
    since_h: float
    opens_h: float | None = None
    closes_h: float | None = None
    liquid: bool = False
    soft: bool = False
    too_hard: bool = False
    reckoned: bool = True

    @property
    def state(self) -> Literal["liquid", "unknown", "early", "late", "soft", "hard", "inside"]:
        """How the next pour would meet it."""
        if self.opens_h is None:
            return "liquid" if self.liquid else "unknown"
        if self.since_h < self.opens_h:
            return "liquid" if self.liquid else "early"
        if self.closes_h is not None and self.since_h > self.closes_h:
            return "late"
        if self.soft:
            return "soft"
        return "hard" if self.too_hard else "inside"


@dataclass(frozen=True)
class PourFacts:
    """Everything that the check looks at; None means that there is no reading.

    Where nothing is to be read, say so: strip_mm and gap_mm 0 for neat resin, tint_percent 0 for none.
    `predictions` holds the pour under the names "cool", "nominal", "cautious" and "depth_fit"; `lifts` a plan
    of several pours, None if it is one; `lift_windows` and `seal_window` come from planning; `pour_window` is
    that of the pour below, None for an empty mould, and `fresh_below_mm` how deep lies below that does not
    take another yet; `mould_checks` says of each of MOULD_CHECKS whether it is done; `held_down` that strips
    are held down, where nobody said how hard.

    >>> PourFacts(depth_mm=40, strip_mm=1, gap_mm=1).resin_fraction
    0.5
    """

    predictions: Mapping[Forecast, PourPrediction] = field(default_factory=dict)
    depth_mm: float | None = None
    strip_mm: float | None = None
    gap_mm: float | None = None
    sheet_depth_mm: float | None = None
    weakest_part_c: float | None = None
    lifts: LiftPlan | None = None
    lift_windows: tuple[LiftWindow, ...] | None = None
    cup_mass_g: float | None = None
    cup_peak_c: float | None = None
    pot_life_min: float | None = None
    mix_fill_min: float | None = None
    fill_s: float | None = None
    smallest_bubble_um: float | None = None
    bow_mm: float | None = None
    comb_spacing_mm: float | None = None
    float_n: float | None = None
    hold_down_n: float | None = None
    held_down: bool | None = None
    resin_needed_g: float | None = None
    resin_free_g: float | None = None
    scale_step_g: float | None = None
    part_b_per_cup_g: float | None = None
    parts_match: bool | None = None
    part_a_days_left: float | None = None
    part_b_days_left: float | None = None
    use: Use | None = None
    resin_kind: Use | None = None
    shop_c: float | None = None
    night_low_c: float | None = None
    sheet_min_c: float | None = None
    sheet_max_c: float | None = None
    humidity_percent: float | None = None
    dew_margin_k: float | None = None
    strip_moisture_percent: float | None = None
    service_moisture_percent: float | None = None
    moisture_age_h: float | None = None
    seal_window: SealWindow | None = None
    pour_window: PourWindow | None = None
    fresh_below_mm: float | None = None
    mould_checks: Mapping[str, bool | None] | None = None
    combs_at_ends: bool | None = None
    tint_percent: float | None = None
    tint_limit_percent: float | None = None

    @property
    def resin_fraction(self) -> float:
        """Share of the cross-section that is resin."""
        if not self.strip_mm:
            return 1.0
        return (self.gap_mm or 0) / ((self.gap_mm or 0) + self.strip_mm)

    @property
    def has_strips(self) -> bool:
        """Whether strips stand in the mould, so that nobody reaches the surface of a lift."""
        return bool(self.strip_mm)

    @property
    def allowed_depth_mm(self) -> float | None:
        """The sheet's depth of neat resin, over the share that is resin here."""
        share = self.resin_fraction
        return self.sheet_depth_mm / share if self.sheet_depth_mm is not None and share else None


@dataclass(frozen=True)
class Finding:
    """One line of the check.

    `figure` is what was found (low to high where there is a band), `limit` what it is held against, both in
    `unit`; `reason` says what follows, `remedy` what to do, `source` where the limit comes from.

    >>> Finding("tint", "clear", 2, None, None, 5, "%", "within the limit", "", "common practice").level
    'clear'
    """

    code: Code
    level: Level
    figure: float | None
    low: float | None
    high: float | None
    limit: float | None
    unit: str
    reason: str
    remedy: str
    source: str


def graded(value: float, clear_to: float, caution_to: float) -> Level:
    """The level of a figure that should be small.

    Parameters: value; clear_to and caution_to, up to and including which it is that level.
    Returns: a level.

    >>> graded(1, 1, 2), graded(1.5, 1, 2), graded(3, 1, 2)
    ('clear', 'caution', 'stop')
    """
    if value <= clear_to:
        return "clear"
    return "caution" if value <= caution_to else "stop"
