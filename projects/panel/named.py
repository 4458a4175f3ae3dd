"""Which block of the project each block of the cut plan is, and how both are called."""

from projects import advice
from projects.panel.design import planned
from projects.panel.rows import stack_of
from projects.panel.stock import castings_of

NOT_YET = "not yet in the project"


def rows_of_plan(kept):
    """By its number in the plan, the project's block that a block still to be cast is.

    Those of one stack are taken in the order of their letters; what lies there already is left out.
    Raises OutOfRange where nothing can be planned.
    """
    found = {}
    coming = [block for block in planned(kept.design).blocks if block.stock is None]
    for row in kept.blocks:
        if 1 in castings_of(row):
            continue
        stack = stack_of(advice.values_of(row), row.resin, kept.shopful.mould)
        own = next((each for each in coming if each.number not in found and each.stack == stack), None)
        if own:
            found[own.number] = row
    return found


def letters_of(kept):
    """The letters of the plan's blocks in their order; empty for what is no block of the project."""
    rows = rows_of_plan(kept)
    return tuple(
        rows[block.number].letter if block.number in rows else "" for block in planned(kept.design).blocks
    )


def name_of(block, letters):
    """How one block of the plan is called: Block A, or by its number where the project has none yet."""
    if block.stock or letters[block.number - 1]:
        return short_name(block, letters)
    return f"Block {block.number}, {NOT_YET}"


def short_name(block, letters):
    """The same within a sentence."""
    letter = letters[block.number - 1]
    return block.stock.key if block.stock else f"Block {letter}" if letter else f"block {block.number}"


def name_of_all(blocks, letters):
    """How blocks that are cut alike are called, all of them in the project or none; or what lies there."""
    one = blocks[0].stock
    if one:
        return f"{one.key}, as it lies there" if one.cast else f"Leftover {one.key}"
    if len(blocks) == 1:
        return name_of(blocks[0], letters)
    if letters[blocks[0].number - 1]:
        return f"Blocks {in_runs([ord(letters[block.number - 1]) for block in blocks], chr)}"
    return f"Blocks {in_runs([block.number for block in blocks])}, {NOT_YET}"


def in_runs(numbers, said=str):
    """Numbers as they are said: 1–3, 5; or what they stand for."""
    runs = []
    for number in sorted(numbers):
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(said(first) if first == last else f"{said(first)}–{said(last)}" for first, last in runs)
