"""Small cases solved by looking at everything, to compare the passes with."""

import random

from projects.planning.calendar import Calendar
from projects.planning.grid import Grid, on_grid
from projects.planning.network import Cure, Link
from tests.projects.planning.shops import USUAL, calendar, instance, task

SHORT_DAYS = {day: [(9, 12)] for day in range(7)}


def tiny(seed, warm=False, people=0, projects=1):
    """A case of three to five steps, windows between some, a shop open three hours a day."""
    chance = random.Random(seed)
    count = chance.randint(3, 4)
    tasks, links = [], []
    for number in range(count):
        tasks.append(
            task(f"t{number}", 15 * chance.randint(1, 6), people=people, project=f"p{number % projects}")
        )
    for after in range(1, count):
        for before in range(after):
            if chance.random() < (0.8 if before == after - 1 else 0.2):
                links.append(random_link(chance, f"t{before}", f"t{after}", warm))
    if chance.random() < 0.5:
        cause = chance.randrange(count - 1)
        tasks.append(task("q", 15 * chance.randint(1, 40), kind="passive"))
        links += [Link(f"t{cause}", "q"), Link("q", f"t{count - 1}")]
    hours = {day: [(nine, noon)] for day, (nine, noon) in enumerate([hours_of(chance)] * 7)}
    shop = calendar(days=4, minutes=15, hours=hours)
    return instance(tasks, links, calendar=shop, climate=USUAL if warm else None)


def hours_of(chance):
    from datetime import time

    opens = chance.choice([8, 9, 10])
    return time(opens), time(opens + chance.choice([2, 3]))


def random_link(chance, before, after, warm):
    if chance.random() < 0.4:
        return Link(before, after, 15 * chance.randint(0, 8))
    opens, width = chance.uniform(0, 8), chance.uniform(0.5, 16)
    if warm:
        return Link(before, after, cure=Cure(opens, opens + width))
    return Link(before, after, round(opens * 60), round((opens + width) * 60))


def candidates(grid: Grid, shop: Calendar, node: int) -> list[int]:
    """Every start that the calendar allows."""
    if not grid.calendar_bound[node]:
        return list(range(grid.start, shop.end + 1))
    slots = grid.slots[node]
    return [
        at
        for opened, close in zip(shop.opens, shop.closes, strict=True)
        for at in range(max(opened, grid.release[node]), close - slots + 1)
    ]


def allowed(grid, starts, node, at):
    """Whether a start keeps all links from the nodes before."""
    for edge in grid.into[node]:
        end = starts[edge.before] + grid.slots[edge.before]
        opens = edge.lag.opens(end)
        if at < opens or (edge.lag.has_window and at > edge.lag.closes(end)):
            return False
        if grid.task[node].kind == "passive" and len(grid.into[node]) == 1 and at != opens:
            return False
    return True


def all_schedules(case):
    """Every schedule of a case without resources, as lists of starts."""
    grid = on_grid(case)
    options = [candidates(grid, case.calendar, node) for node in range(grid.nodes)]
    starts = []

    def walk(node):
        if node == grid.nodes:
            yield list(starts)
            return
        for at in options[node]:
            if allowed(grid, starts, node, at):
                starts.append(at)
                yield from walk(node + 1)
                starts.pop()

    return walk(0)
