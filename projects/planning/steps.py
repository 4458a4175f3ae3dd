"""What a plan is made of: steps, the links between them, what is held meanwhile, and the whole of it."""

import heapq
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Literal

from materials.science.climate import Climate
from materials.science.errors import OutOfRange, UnknownName
from projects.planning.calendar import Calendar, in_utc
from projects.planning.curing import LAWS

PEOPLE = "people"
MOST_MINUTES = 1_000_000
MOST_HOURS = 10_000


class CycleError(ValueError):
    """Steps wait for each other in a circle, so that none of them can begin.

    Parameters: names, the steps of the circle in order.

    >>> str(CycleError(["seal", "pour"]))
    'these steps wait for each other: seal → pour → seal'
    """

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__(names)
        self.names = list(names)

    def __str__(self) -> str:
        return f"these steps wait for each other: {' → '.join([*self.names, self.names[0]])}"


def _checked(name: str, value: float | None, high: float, unit: str) -> None:
    if value is not None and not (math.isfinite(value) and 0 <= value <= high):
        raise OutOfRange(name, value, 0, high, unit)


@dataclass(frozen=True)
class Task:
    """One step: work for hands inside opening hours, or something that goes by itself.

    Parameters: id, unique; project; name, as the maker reads it; kind, "hands_on" (inside one opening
    session) or "passive" (day and night, begins when its cause ends); minutes; people, 1 or 0, none = 1
    for hands-on and 0 for passive; resources, how many of each are taken meanwhile; release, not before;
    fixed_start, when it really began: then minutes is what it took or is expected to take in all;
    splittable, whether it may be done in parts of an hour at most; spread, the factors on minutes at
    best, most likely and at worst.
    Raises: OutOfRange; ValueError for another kind, a moment without a time zone, a spread out of order.

    >>> Task("pour", "lamp", "Pour block A", "hands_on", 45).hands
    1
    """

    id: str
    project: str
    name: str
    kind: Literal["hands_on", "passive"]
    minutes: float
    people: int | None = None
    resources: Mapping[str, int] = field(default_factory=dict)
    release: datetime | None = None
    fixed_start: datetime | None = None
    splittable: bool = False
    spread: tuple[float, float, float] = (0.8, 1, 1.5)

    def __post_init__(self) -> None:
        if self.kind not in ("hands_on", "passive"):
            raise ValueError(f'a step is "hands_on" or "passive", not "{self.kind}"')
        _checked("minutes", self.minutes, MOST_MINUTES, "min")
        for amount in (self.people, *self.resources.values()):
            _checked("amount", amount, 1000, "")
        if not 0 <= self.spread[0] <= self.spread[1] <= self.spread[2]:
            raise ValueError(f"the spread {self.spread} is not in order")
        for moment in (self.release, self.fixed_start):
            if moment is not None:
                in_utc(moment)

    @property
    def hands(self) -> int:
        """How many people it takes."""
        return int(self.kind == "hands_on") if self.people is None else self.people

    @property
    def needs(self) -> dict[str, int]:
        """How many of each resource it takes, people among them."""
        wanted = {PEOPLE: self.hands, **self.resources}
        return {name: amount for name, amount in wanted.items() if amount}


@dataclass(frozen=True)
class Cure:
    """A window that follows the temperature: so many hours at the sheet's temperature.

    Parameters: open_h, the sheet's hours until the next act may begin; close_h, until it must have begun,
    none = any time; at_c, the sheet's temperature in °C; law, "ten_degree" or "arrhenius".
    Raises: OutOfRange; UnknownName for another law; ValueError where it closes before it opens.

    >>> Cure(open_h=4, close_h=14).at_c
    20
    """

    open_h: float
    close_h: float | None = None
    at_c: float = 20
    law: str = "ten_degree"

    def __post_init__(self) -> None:
        _checked("open_h", self.open_h, MOST_HOURS, "h")
        _checked("close_h", self.close_h, MOST_HOURS, "h")
        if self.law not in LAWS:
            raise UnknownName("law", self.law, LAWS)
        if self.close_h is not None and self.close_h < self.open_h:
            raise ValueError(f"a window can't close at {self.close_h:g} h and open at {self.open_h:g} h")


@dataclass(frozen=True)
class Link:
    """One step waits for another, and may have to begin before a window closes.

    Parameters: before and after, ids of steps; open_minutes, from the end of `before` until `after` may
    begin; close_minutes, until it must have begun, none = any time; hard, whether nothing can be done once
    the window has closed (a lift inside a filled stack), so that it is never relaxed into "sand first";
    cure, hours that follow the temperature, on top of the minutes: the later opens, the earlier closes;
    label, as the maker reads it.
    Raises: OutOfRange; ValueError where it closes before it opens.

    >>> Link("pour-1", "pour-2", cure=Cure(4, 14), hard=True, label="lift 1 to 2").has_window
    True
    """

    before: str
    after: str
    open_minutes: float = 0
    close_minutes: float | None = None
    hard: bool = False
    cure: Cure | None = None
    label: str = ""

    def __post_init__(self) -> None:
        _checked("open_minutes", self.open_minutes, MOST_MINUTES, "min")
        _checked("close_minutes", self.close_minutes, MOST_MINUTES, "min")
        if self.close_minutes is not None and self.close_minutes < self.open_minutes:
            raise ValueError("a window can't close before it opens")

    @property
    def has_window(self) -> bool:
        """Whether it closes at all."""
        return self.close_minutes is not None or (self.cure is not None and self.cure.close_h is not None)

    def without_close(self) -> "Link":
        """The same link with a window that never closes."""
        cure = None if self.cure is None else replace(self.cure, close_h=None)
        return replace(self, close_minutes=None, cure=cure)


@dataclass(frozen=True)
class Span:
    """Something held from the start of one step to the end of another, nights included.

    Parameters: resource; amount; first and last, ids of steps.
    Raises: OutOfRange.

    >>> Span("mould", 1, "set-up", "demould").amount
    1
    """

    resource: str
    amount: int
    first: str
    last: str

    def __post_init__(self) -> None:
        _checked("amount", self.amount, 1000, "")


def topological(tasks: Sequence[Task], links: Iterable[Link]) -> list[str]:
    """The ids of steps, each after those that it waits for; among equals by id.

    Parameters: tasks; links between them.
    Returns: ids.
    Raises: CycleError naming the steps of a circle.

    >>> steps = [Task(name, "lamp", name, "hands_on", 10) for name in ("saw", "glue", "plane")]
    >>> topological(steps, [Link("plane", "glue"), Link("saw", "plane")])
    ['saw', 'plane', 'glue']
    """
    waits = {task.id: 0 for task in tasks}
    after = defaultdict(list)
    for link in links:
        waits[link.after] += 1
        after[link.before].append(link.after)
    ready = [name for name, count in waits.items() if not count]
    heapq.heapify(ready)
    order = []
    while ready:
        name = heapq.heappop(ready)
        order.append(name)
        for later in after[name]:
            waits[later] -= 1
            if not waits[later]:
                heapq.heappush(ready, later)
    if len(order) < len(waits):
        names = {task.id: task.name for task in tasks}
        raise CycleError([names[name] for name in _circle(after, set(waits) - set(order))])
    return order


def _circle(after: Mapping[str, list[str]], stuck: set[str]) -> list[str]:
    """One circle among steps that all wait: go back along what each waits for until one comes again."""
    before: dict[str, str] = {}
    for name in sorted(stuck):
        for later in after[name]:
            if later in stuck:
                before.setdefault(later, name)
    walked = [min(stuck & set(before))]
    while before[walked[-1]] not in walked:
        walked.append(before[walked[-1]])
    circle = walked[walked.index(before[walked[-1]]) :][::-1]
    least = circle.index(min(circle))
    return circle[least:] + circle[:least]


@dataclass(frozen=True)
class Instance:
    """All that is to be planned, and all that a plan depends on.

    Parameters: start, an aware moment before which no step that has not begun may begin; tasks; links;
    spans; capacities, how many there are of each resource, "people" 1 where not given; calendar;
    climate, none = every cure at its sheet's temperature; due, for each project its date if it has one;
    weight, for each project its importance, 1 where not given.
    Raises: CycleError naming the steps; UnknownName for a step or resource that is not there; ValueError
    for two steps of one id.

    >>> from datetime import UTC
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> steps = [Task("saw", "lamp", "Saw", "hands_on", 30)]
    >>> Instance(start, steps, [], [], {}, Calendar([]), None, {}, {}).order
    ('saw',)
    """

    start: datetime
    tasks: Sequence[Task]
    links: Sequence[Link]
    spans: Sequence[Span]
    capacities: Mapping[str, int]
    calendar: Calendar
    climate: Climate | None
    due: Mapping[str, datetime]
    weight: Mapping[str, float]
    order: tuple[str, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        in_utc(self.start)
        known = {task.id for task in self.tasks}
        if len(known) < len(self.tasks):
            raise ValueError("two steps have the same id")
        named = [
            *((link.before, link.after) for link in self.links),
            *((s.first, s.last) for s in self.spans),
        ]
        for name in (name for pair in named for name in pair):
            if name not in known:
                raise UnknownName("step", name, known)
        resources = {name for task in self.tasks for name in task.resources} | {
            s.resource for s in self.spans
        }
        for name in sorted(resources - {PEOPLE}):
            if name not in self.capacities:
                raise UnknownName("resource", name, self.capacities)
        object.__setattr__(self, "order", tuple(topological(self.tasks, self.links)))

    def capacity(self, resource: str) -> int:
        """How many there are of a resource; one person where nothing is said."""
        return self.capacities.get(resource, 1)
