"""The order of work from the cast blocks to the marked pieces, one step after the other."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from projects.geometry.bars import SPARE, TEST, Bar, Job
from projects.geometry.packing import CastBlock
from projects.geometry.saw import Saw

ACTS = ("flatten", "joint", "rip", "true", "square", "test", "cut", "mark")
TRUE = "the bar's sawn edge, and the block's before the next rip"
BEFORE_NEXT = {
    "slide": "slide the bar to the stop",
    "roll": "roll the bar over, then slide it to the stop",
    "turn": "slide the bar to the stop",
}


class Step(NamedTuple):
    """One step of the work.

    Parameters: act, one of ACTS; block and bar, counted from 1 (0: all); at_mm and size_mm: the thickness
    taken off (flatten, joint, true), where a bar begins in its block and its width (rip), the length taken
    off (square), where a cut's left side meets the bar's near edge and its kerf (cut); angle_deg, of a cut
    to that edge; note, in words.

    >>> Step("cut", 1, 1, 3.0, 2.0, 90).act
    'cut'
    """

    act: str
    block: int
    bar: int
    at_mm: float
    size_mm: float
    angle_deg: float
    note: str = ""


def steps_for(
    blocks: Sequence[CastBlock], jobs: Sequence[Job], saw: Saw, face_down: Sequence[bool]
) -> Iterator[Step]:
    """Every step in order: blocks first, then rips, then tests, then bar after bar.

    Parameters: blocks; jobs; saw; face_down, for each place number from 1 on.
    Returns: Steps.

    >>> list(steps_for([], [], Saw(), []))
    []
    """
    fresh = [block for block in blocks if block.stock is None or block.stock.cast]
    for block in fresh:
        yield Step("flatten", block.number, 0, 0, block.stack.flatten_mm, 0, "both faces")
    for block in fresh:
        yield Step("joint", block.number, 0, 0, block.edge_mm, 0, "one long edge; count rips from it")
    bars = [bar for block in blocks for bar in block.bars]
    for bar in bars:
        yield Step("rip", bar.block, bar.number, bar.offset_mm, bar.width_mm, 0)
        if saw.true_mm:
            yield Step("true", bar.block, bar.number, 0, saw.true_mm, 0, TRUE)
    for bar in bars:
        yield Step("square", bar.block, bar.number, 0, saw.trim_mm, 90, "one end")
    for job in jobs:
        if job.tests:
            yield Step("test", 0, _first_bar(bars, job), 0, 0, 0, _test_note(job))
    for bar in bars:
        yield from _cuts(bar, saw)
        yield Step("mark", bar.block, bar.number, 0, 0, 0, _marks(bar, face_down))


def blade_advice(job: Job) -> str:
    """What follows for the order of pieces when the blade does not stand quite square to the table.

    Parameters: job.
    Returns: a sentence. For bars that are rolled the section was worked out; what it does in a ring is
    derived only, and the sentence says so.
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.base import rectangle
    >>> from projects.geometry.stack import Stack
    >>> blade_advice(Job(0, rectangle("Q", 40, 40), Stack(), 6, 0, 7, 2, 6, 12)).split(":")[0]
    'The cuts of a bar that slides all lean the same way'
    """
    if job.shape.slides:
        return (
            "The cuts of a bar that slides all lean the same way: the pieces still meet face to face if all "
            "lie one way up, or every other one face down."
        )
    return (
        "The cuts of a bar that is rolled lean by turns one way and the other: in a ring, lay pieces beside "
        "each other that were neighbours in the bar. An even number then closes flat; only odd or only even "
        "ones would make the ring cup. Worked out, not tried: nobody has sawn it."
    )


def _first_bar(bars: Sequence[Bar], job: Job) -> int:
    return next(bar.number for bar in bars if bar.job.index == job.index and TEST in bar.pieces)


def _test_note(job: Job) -> str:
    pieces = "1 piece" if job.tests == 1 else f"{job.tests} pieces"
    return f"cut {pieces} of {job.shape.name} and lay them against each other before going on"


def _cuts(bar: Bar, saw: Saw) -> Iterator[Step]:
    """The cuts of one bar; where there are two gauges, all of the first and then all of the second."""
    note = BEFORE_NEXT[bar.job.shape.handling]
    runs = bar.cut_runs(saw)
    cuts = [cut for run in runs for cut in run]
    begins = {run[0][0]: "past the flaw, set as for the first cut" for run in runs[1:]}
    begins[cuts[0][0]] = "the first cut"
    for turn, angle in enumerate(bar.job.cut_order_deg):
        both = bar.job.shape.handling != "turn"
        for at, own in cuts:
            if both or own == angle:
                say = begins.get(at, note)
                if turn:
                    say = "turn the gauge and part each pair"
                yield Step("cut", bar.block, bar.number, at, saw.kerf_mm, own, say)


def _marks(bar: Bar, face_down: Sequence[bool]) -> str:
    """What is written on the pieces of a bar, in cut order; F: this one lies face down."""
    words = {SPARE: "spare", TEST: "test"}
    said = (
        words[piece] if piece <= 0 else f"{piece}F" if face_down[piece - 1] else str(piece)
        for piece in bar.pieces
    )
    return ", ".join(said)
