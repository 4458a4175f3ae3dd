"""All that a plan of the shop depends on, read from the rows once."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.db.models import Q

from materials.models import Reading
from projects.actions.dates import over_at
from projects.links import links_of
from projects.models import Project, Step, StepLink, Timer
from projects.schedule.absent import Away, away_of, nobody_here
from projects.schedule.links import windows_of
from projects.schedule.taken import parts_of
from workshop import hours
from workshop.models import Machine, Member, Shop

STATE, KIND = Step.State, Step.Kind
LEAST_DAYS, MOST_DAYS = 60, 730
SPARE = 1.5  # so many times the work there is must fit before the calendar ends (judgement)
READ_BACK = timedelta(days=2)  # readings older than this say nothing of what cures now
IN_THE_MOULD = (KIND.MOULD, KIND.LOAD, KIND.POUR)


@dataclass(frozen=True)
class Matter:
    """The rows of a shop at a moment: `steps` are the open ones of all it works on, each project's in order.

    `over` says by a step's pk when its clock lets it go on; `held` are the blocks that lie in a mould;
    `parts` when the plan that was taken last has what is dated by it, by pk; `cut_short` that the shop works
    on more than was gathered.
    """

    shop: Shop
    at: datetime
    steps: list[Step]
    over: dict[int, datetime | None]
    windows: list[Timer]
    held: frozenset[int]
    machines: list[Machine]
    people: int
    week: dict[int, list[tuple[time, time]]]
    exceptions: dict[date, list[tuple[time, time]]]
    readings: tuple[tuple[datetime, float], ...] = ()
    links: tuple[StepLink, ...] = ()
    away: tuple[Away, ...] = ()
    parts: dict[int, tuple] = field(default_factory=dict)
    cut_short: bool = False

    def sessions(self, since, days):
        """The opening hours as pairs of moments, from a day on."""
        from projects.planning.calendar import opening_sessions

        return opening_sessions(self.shop.zone, self.week, self.exceptions, since, days)

    @property
    def today(self):
        """The day by the clock on the shop's wall."""
        return self.at.astimezone(self.shop.tz).date()

    @property
    def alone(self):
        """The stretches in which nobody is here, all being away."""
        return nobody_here(self.away, self.people)

    @property
    def days(self):
        """How many days ahead a plan must look so that all of it finds a place."""
        hands = sum(step.minutes * step.people for step in self.steps if not step.is_passive)
        alone = sum(step.minutes for step in self.steps if step.is_passive)
        open_a_day = sum(stretch_minutes(hours) for hours in self.week.values()) / 7
        wanted = hands / self.people / open_a_day if open_a_day else 0
        gone = max(((each.end - self.at).days + 1 for each in self.away), default=0)
        return int(min(MOST_DAYS, max(LEAST_DAYS, SPARE * (wanted + alone / 1440 + 14) + gone)))


def stretch_minutes(stretches):
    """How many minutes the stretches of a day hold; one that ends before it begins runs past midnight."""
    found = 0
    for opens, closes in stretches:
        minutes = (closes.hour - opens.hour) * 60 + closes.minute - opens.minute
        found += minutes if minutes > 0 else minutes + 1440
    return found


def gather(shop, at, *, most=None):
    """The matter of a shop at a moment; with `most`, of so many projects only, and of those with a window."""
    windows = list(windows_of(shop))
    chosen, cut_short = chosen_projects(shop, windows, most)
    steps = list(Step.objects.of(shop).to_plan().filter(chosen))
    in_mould = (
        Step.objects.of(shop).kept().filter(chosen, kind__in=IN_THE_MOULD, project__state__in=Project.LIVE)
    )
    begun = in_mould.exclude(state__in=[STATE.TO_DO, STATE.SKIPPED])
    readings = (
        Reading.objects.of(shop)
        .kept()
        .filter(kind=Reading.Kind.TEMPERATURE, taken_at__gte=at - READ_BACK, taken_at__lte=at)
    )
    return Matter(
        shop=shop,
        at=at,
        steps=steps,
        over=over_at(shop, steps),
        windows=windows,
        held=frozenset(begun.values_list("block_id", flat=True)),
        machines=list(Machine.objects.of(shop).in_use().order_by("pk")),
        people=Member.objects.of(shop).hands(),
        week=hours.week_of(shop),
        exceptions=hours.exceptions_of(shop, (at - timedelta(days=400)).date()),
        links=tuple(links_of(steps)),
        away=away_of(shop, at),
        readings=tuple(readings.order_by("taken_at", "pk").values_list("taken_at", "value")),
        parts=parts_of(shop, steps),
        cut_short=cut_short,
    )


def chosen_projects(shop, windows, most):
    """Which steps are gathered, as a condition, and whether others are left out."""
    if most is None:
        return Q(), False
    pressing = list(Project.objects.of(shop).pressing_first().values_list("pk", flat=True)[: most + 1])
    awaited = {window.step.project_id for window in windows}
    return Q(project__in={*pressing[:most], *awaited}), len(pressing) > most
