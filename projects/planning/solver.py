"""The planner: six rules tried, the best kept, and a seeded search from there where it is asked for."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from projects.planning.blocks import Blocks
from projects.planning.checker import check_plan as check_plan
from projects.planning.grid import Grid, on_grid
from projects.planning.plan import Plan as Plan
from projects.planning.plan import told
from projects.planning.relief import Relief
from projects.planning.rules import cost, finishes, six_rules
from projects.planning.serial import Serial
from projects.planning.steps import Instance

BEST_KEPT = 3
# a usual change moves a block by one of these parts of the whole order
REACH = (0.25, 0.5)
# what begins before this moves nowhere; it comes before every rank
PINNED = -1e12
Score = tuple[int, int, float]
Tried = tuple[Score, list[float], list[int | None], Relief]


def make_plan(
    instance: Instance,
    iterations: int = 0,
    seed: int = 1,
    frozen_until: datetime | None = None,
    previous: Plan | None = None,
) -> Plan:
    """A plan of all steps, always: what can't be kept is given up and told.

    Parameters: instance; iterations, how many changes of the order are tried after the six rules (0 inside
    a request); seed, of that search; frozen_until, an aware moment: steps that `previous` starts before it
    stay put; previous, a plan whose order is kept as far as it goes.
    Returns: a Plan; the same for the same arguments, run to run.
    Valid for: a good plan, not a proven best one.
    Source: serial schedule generation over blocks bound by windows; see projects.planning.serial.

    >>> from datetime import UTC, timedelta
    >>> from projects.planning.calendar import Calendar
    >>> from projects.planning.steps import Link, Task
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> steps = [Task("saw", "lamp", "Saw", "hands_on", 60), Task("glue", "lamp", "Glue", "hands_on", 30)]
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> plan = make_plan(Instance(day, steps, [Link("saw", "glue")], [], {}, shop, None, {}, {}))
    >>> plan.ends["glue"].isoformat(), plan.objective
    ('2026-03-03T09:30:00+00:00', 90.0)
    """
    grid = on_grid(instance)
    relief = Relief.of(instance.calendar)
    rules = six_rules(instance, grid, relief)
    serial = Serial(grid, instance.calendar, relief)
    floor, tried = grid.release, []
    if previous is not None:
        order, floor, still = _as_before(instance, grid, previous, frozen_until, rules[0])
        # once as early as the old order allows, once with nothing earlier than it was
        tried = [_try(instance, serial, order, floor), _try(instance, serial, order, still)]
        pinned = {node: at for node, at in enumerate(order) if at < PINNED / 2}
        rules = [[pinned.get(n, at) for n, at in enumerate(rule)] for rule in rules] if iterations else []
    tried += [_try(instance, serial, order, floor) for order in rules]
    best = sorted(tried, key=lambda each: each[0])[:BEST_KEPT]
    best = _improved(instance, serial, best, floor, iterations, seed)
    _, _, starts, given_up = best[0]
    return told(instance, grid, starts, given_up)


def _try(instance: Instance, serial: Serial, order: Sequence[float], floor: Sequence[int]) -> Tried:
    """One pass, and how good it is: what has no place counts most, then windows missed, then time."""
    starts, relief = serial.run(order, floor)
    objective = cost(instance, finishes(serial.grid, relief, starts, instance.calendar))
    score = (len(relief.absent), len(relief.relaxed), objective)
    return score, list(order), starts, relief


def _as_before(
    instance: Instance, grid: Grid, previous: Plan, frozen_until: datetime | None, rule: Sequence[float]
) -> tuple[list[float], list[int], list[int]]:
    """The order of an earlier plan, where its first steps stay, and where all of its steps were.

    New steps come by the rule given.
    """
    calendar, order, floor, still = instance.calendar, list(rule), list(grid.release), list(grid.release)
    frozen = None if frozen_until is None else calendar.slot_up(frozen_until)
    for name, first in grid.first_node.items():
        begun = previous.starts.get(name)
        if begun is None:
            continue
        pieces = previous.parts.get(name, [(begun, begun)])
        for node in range(first, grid.last_node[name] + 1):
            at = calendar.slot_up(pieces[min(node - first, len(pieces) - 1)][0])
            order[node] = float(at)
            still[node] = max(still[node], at)
            if frozen is not None and at < frozen:
                order[node] = PINNED + at
                floor[node] = max(floor[node], at)
    return order, floor, still


def _improved(
    instance: Instance,
    serial: Serial,
    best: list[Tried],
    floor: Sequence[int],
    iterations: int,
    seed: int,
) -> list[Tried]:
    """The best few after so many random changes of the order; only better ones are kept."""
    chance = np.random.default_rng(seed)
    groups = _groups(serial.grid, serial.blocks)
    best = [(score, _ranks(order, serial.blocks), starts, relief) for score, order, starts, relief in best]
    for _ in range(iterations):
        order = list(best[int(chance.integers(len(best)))][1])
        for _ in range(int(chance.integers(1, 4))):
            group = groups[int(chance.integers(len(groups)))]
            # far moves and near ones by turns: which of the two helps depends on the case
            shift = float(chance.normal()) * len(serial.blocks.nodes) * float(chance.choice(REACH))
            for node in group:
                if order[node] > PINNED / 2:
                    order[node] += shift
        found = _try(instance, serial, order, floor)
        if found[0] < best[-1][0] and all(found[0] != each[0] for each in best):
            best = sorted([*best, found], key=lambda each: each[0])[:BEST_KEPT]
    return best


def _groups(grid: Grid, blocks: Blocks) -> list[list[int]]:
    """What is moved in the order as one: each block, and each project half as often as all its blocks."""
    projects = [
        [node for node in range(grid.nodes) if grid.task[node].project == name] for name in grid.projects
    ]
    times = max(1, len(blocks.nodes) // (2 * max(1, len(projects))))
    return [*blocks.nodes, *projects * times]


def _ranks(order: Sequence[float], blocks: Blocks) -> list[float]:
    """An order as ranks of blocks, so that a change means as much in every rule; what is pinned stays."""
    least = [min(order[node] for node in nodes) for nodes in blocks.nodes]
    rank = {block: float(n) for n, block in enumerate(sorted(range(len(least)), key=lambda b: (least[b], b)))}
    return [order[node] if order[node] < PINNED / 2 else rank[blocks.of[node]] for node in range(len(order))]
