"""Shops, projects and random cases for the tests of planning."""

import random
from datetime import UTC, date, datetime, time, timedelta

from materials.science.climate import Climate
from projects.planning.calendar import Calendar, opening_sessions
from projects.planning.network import Cure, Instance, Link, Span, Task

BERLIN = "Europe/Berlin"
TUESDAY = datetime(2026, 3, 3, 6, tzinfo=UTC)  # 07:00 on the wall in Berlin
USUAL = Climate(19, 15, time(7), time(19), BERLIN)


def week(opens=8, closes=18, days=range(5)):
    return {day: [(time(opens), time(closes))] for day in days}


def calendar(days=120, minutes=5, hours=None, first=date(2026, 3, 3)):
    return Calendar(opening_sessions(BERLIN, hours or week(), {}, first, days), minutes)


def always(days=400, minutes=5, start=TUESDAY):
    """A shop that never shuts."""
    return Calendar([(start - timedelta(days=1), start + timedelta(days=days))], minutes)


def instance(tasks, links=(), spans=(), **changes):
    values = {"capacities": {}, "calendar": calendar(), "climate": None, "due": {}, "weight": {}}
    values |= {"start": TUESDAY} | changes
    return Instance(tasks=list(tasks), links=list(links), spans=list(spans), **values)


def task(name, minutes=30, project="lamp", kind="hands_on", **changes):
    return Task(name, project, name, kind, minutes, **changes)


def network(durations, arcs, unit=60, **changes):
    """A textbook's network: durations by name, arcs as pairs, a unit of so many minutes, no resources."""
    tasks = [task(name, minutes * unit, people=0) for name, minutes in durations.items()]
    return instance(tasks, [Link(a, b) for a, b in arcs], calendar=always(), **changes)


def lamp(number, lifts=2, chance=None, climate=True):
    """One project of about 25 steps: buy to pack, pours in lifts, moulds held, windows."""
    chance = chance or random.Random(number)
    code = f"p{number:03d}"
    tasks, links = [], []

    def add(name, minutes, kind="hands_on", after=None, **link_or_task):
        keys = ("resources", "people", "splittable")
        extra = {key: link_or_task.pop(key) for key in keys if key in link_or_task}
        tasks.append(Task(f"{code}-{len(tasks):02d}-{name}", code, f"{name} {code}", kind, minutes, **extra))
        before = after or (tasks[-2].id if len(tasks) > 1 else None)
        if before:
            links.append(Link(before, tasks[-1].id, **link_or_task))
        return tasks[-1].id

    add("condition", chance.choice([10, 15, 20]))
    add("settle", 60 * 24 * chance.randint(1, 3), "passive")
    add("cut strips", chance.choice([60, 90, 120]), resources={"planer": 1}, splittable=True)
    add("seal", chance.choice([30, 45, 60]))
    add("seal again", chance.choice([30, 45]), cure=Cure(3, 24) if climate else None, open_minutes=180)
    add("sealed", 60 * 12, "passive")
    mould = add("set up mould", chance.choice([60, 90]))
    add("sealant", 240, "passive")
    add("load strips", chance.choice([45, 60, 90]))
    for lift in range(lifts):
        window = {"cure": Cure(chance.choice([3, 4]), chance.choice([12, 14, 18])), "hard": False}
        if not climate:
            window = {"open_minutes": 60 * 4, "close_minutes": 60 * chance.choice([14, 18])}
        add(f"pour {lift + 1}", chance.choice([30, 45, 60]), **(window if lift else {}))
    add("cure", 60 * chance.choice([24, 36, 48]), "passive")
    demould = add("demould", 20)
    add("rest", 60 * 24, "passive")
    add("flatten", chance.choice([60, 120, 180]), resources={"planer": 1}, splittable=True)
    add("saw", chance.choice([60, 90]))
    add("dry fit", 30)
    add("glue up", chance.choice([60, 90]))
    add("clamped", 60 * 14, "passive")
    add("sand", chance.choice([120, 180, 240]), splittable=True)
    add("first coat", 20)
    add("second coat", 20, open_minutes=60 * 8, close_minutes=60 * 48)
    add("dry", 60 * 20, "passive")
    add("light and pack", chance.choice([60, 90]))
    return tasks, links, [Span("mould", 1, mould, demould)]


def shop(projects, people=2, moulds=4, seed=1, **changes):
    """A shop with so many lamps at once, each due some time after the start."""
    chance = random.Random(seed)
    tasks, links, spans = [], [], []
    for number in range(projects):
        found = lamp(number, lifts=chance.choice([1, 2, 3]), chance=chance)
        for whole, part in zip((tasks, links, spans), found, strict=True):
            whole += part
    names = [f"p{number:03d}" for number in range(projects)]
    values = {
        "capacities": {"people": people, "mould": moulds, "planer": 1},
        "climate": USUAL,
        "due": {name: TUESDAY + timedelta(days=chance.randint(14, 30)) for name in names},
        "weight": {name: chance.choice([1, 1, 2, 3]) for name in names},
        "calendar": calendar(days=200),
    } | changes
    return instance(tasks, links, spans, **values)
