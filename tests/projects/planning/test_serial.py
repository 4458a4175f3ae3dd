import random

from hypothesis import given
from hypothesis import strategies as some

from projects.planning.grid import Grid
from projects.planning.serial import Board
from tests.projects.planning.shops import calendar


@given(some.integers(0, 100_000))
def test_the_first_gap_is_what_looking_at_every_slot_finds(seed):
    chance = random.Random(seed)
    shop = calendar(days=12)
    count = chance.randint(1, 3)
    board = Board(Grid(start=shop.opens[0] - 40, resources=["people"], capacity=[count]), shop)
    used = [0] * 4000
    for _ in range(chance.randint(0, 40)):
        at, length, amount = chance.randint(0, 2500), chance.randint(1, 150), chance.randint(1, count)
        board.take(0, amount, board.origin + at, board.origin + at + length)
        for slot in range(at, at + length):
            used[slot] = min(count, used[slot] + amount)
    amount, slots, at = chance.randint(1, count), chance.randint(1, 60), chance.randint(0, 1500)
    bound = chance.random() < 0.5

    if bound:
        # the planner asks from a slot at which the calendar lets the work begin
        at = (shop.first_start(board.origin + at, slots) or board.origin) - board.origin

    def free(start):
        inside = not bound or shop.first_start(board.origin + start, slots) == board.origin + start
        return inside and all(used[s] + amount <= count for s in range(start, start + slots))

    expected = next((board.origin + s for s in range(at, 3000) if free(s)), None)
    assert board.gap([(0, amount)], bound, board.origin + at, slots) == expected


def test_something_held_meets_its_last_conflict():
    board = Board(Grid(resources=["mould"], capacity=[2]), calendar(days=0))
    for begin, end in ((10, 20), (15, 30), (12, 18)):
        board.take(0, 1, begin, end)
    assert board.last_conflict(0, 1, 0, 100) == 20
    assert board.last_conflict(0, 2, 0, 100) == 30
    assert board.last_conflict(0, 1, 20, 100) == 0


def test_more_is_taken_than_there_is_without_harm():
    board = Board(Grid(resources=["people"], capacity=[1]), calendar(days=0))
    for _ in range(3):
        board.take(0, 2, 0, 5)
    assert board.gap([(0, 1)], False, 0, 4) == 5
