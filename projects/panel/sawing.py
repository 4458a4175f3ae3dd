"""From a cut plan to what stands at the saw: settings, bars, offcut, how exact the saw must be."""

from dataclasses import dataclass, replace
from functools import lru_cache

from projects.geometry.bars import SPARE, TEST
from projects.panel.design import laid_out, pattern_of, planned, seams_of
from projects.panel.named import in_runs, name_of, name_of_all
from workshop.drawn import drawn

HANDLING = {
    "slide": "slide on to the stop",
    "roll": "roll over, then slide to the stop",
    "turn": "two passes: part pairs first, then part each pair",
}
CAUSES = (
    ("clip_and_spare", "clipped at the frame, and spares"),
    ("test", "test cuts"),
    ("kerf_trim_and_hold", "saw cuts, squared ends, stubs"),
    ("rip_and_edge", "rips, block edges, ends"),
    ("truing", "trued off sawn edges"),
    ("flaws", "flaws"),
)
ALWAYS = 4  # causes that are there in every plan
SAME_DEG = 1e-6
MOST_DRAWN = 6  # different blocks, and different bars, that a page draws


@dataclass(frozen=True)
class Setting:
    """How the saw is set for the pieces of one shape."""

    piece: str
    bar_mm: float
    rip_mm: float
    gauges_deg: tuple
    sled_deg: tuple
    stop_mm: float
    second_stop_mm: float | None
    handling: str
    cuts: int
    need: int
    tests: int
    bars: int
    advice: str


@dataclass(frozen=True)
class Alike:
    """Blocks or bars that are alike: their name with their numbers, one of them drawn, what each holds."""

    name: str
    many: int
    length_mm: float
    width_mm: float
    strips: int
    holds: int
    of_piece: str
    pictures: dict


@lru_cache(maxsize=32)
def settings_of(design, gauge_max_deg):
    """The saw's settings, shape by shape; those beyond the gauge's range as angles of a sled."""
    from projects.geometry.steps import blade_advice

    found = []
    for job in planned(design).jobs:
        if not job.cuts:
            continue
        two = job.shape.handling == "turn"
        found.append(
            Setting(
                piece=job.shape.name,
                bar_mm=job.shape.bar_mm,
                rip_mm=job.shape.bar_mm + design.saw.true_mm,
                gauges_deg=job.gauges_deg,
                sled_deg=job.sled_deg(gauge_max_deg) if gauge_max_deg else (),
                stop_mm=job.parcel_mm(design.saw),
                second_stop_mm=job.shape.stop_mm if two else None,
                handling=HANDLING[job.shape.handling],
                cuts=job.cuts,
                need=job.need,
                tests=job.tests,
                bars=sum(bar.job is job for bar in planned(design).bars),
                advice=blade_advice(job),
            )
        )
    return tuple(found)


@lru_cache(maxsize=32)
def blocks_alike(design, letters):
    """The blocks to cast, those that are cut alike together, each kind drawn with its saw lines.

    `letters`: of the plan's blocks in their order; those without one are not in the project yet.
    """
    from projects.geometry.cut_drawing import block_cuts_svg

    groups = {}
    for block in planned(design).blocks:
        bars = tuple((round(bar.offset_mm, 6), round(bar.width_mm, 6)) for bar in block.bars)
        new = not letters[block.number - 1]
        key = (block.stock, new, block.stack, block.strips, round(block.length_mm, 6), bars)
        groups.setdefault(key, []).append(block)
    return tuple(
        Alike(
            name=name_of_all(same, letters),
            many=len(same),
            length_mm=same[0].length_mm,
            width_mm=same[0].width_mm,
            strips=same[0].strips,
            holds=len(same[0].bars),
            of_piece="",
            pictures=both(block_cuts_svg, named(same[0], letters), design.saw) if place < MOST_DRAWN else {},
        )
        for place, same in enumerate(groups.values())
    )


def named(block, letters):
    """A block of the plan with the name that its drawing says."""
    return replace(block, name=name_of(block, letters))


@lru_cache(maxsize=32)
def bars_alike(design):
    """The bars to cut, those with equal cuts together, each kind drawn with its saw lines."""
    from projects.geometry.cut_drawing import bar_cuts_svg

    groups, blocks = {}, {block.number: block for block in planned(design).blocks}
    for bar in planned(design).bars:
        spots = spots_of(blocks[bar.block], bar)
        groups.setdefault((bar.job.index, len(bar.pieces), bar.runs, spots), []).append(bar)
    longest = max(bar.length_mm for bar in planned(design).bars)
    return tuple(
        Alike(
            name=f"Bar {in_runs([bar.number for bar in same])}",
            many=len(same),
            length_mm=same[0].length_mm,
            width_mm=same[0].width_mm,
            strips=0,
            holds=len(same[0].pieces),
            of_piece=same[0].job.shape.name,
            pictures=both(bar_cuts_svg, same[0], design.saw, longest, key[3]) if place < MOST_DRAWN else {},
        )
        for place, (key, same) in enumerate(groups.items())
    )


def spots_of(block, bar):
    """The flaws of a bar, measured from its own edge."""
    low = block.edge_mm + bar.offset_mm
    return tuple(
        spot._replace(low_mm=spot.low_mm - low, high_mm=spot.high_mm - low) for spot in block.flaws_of(bar)
    )


def both(draw, thing, saw, *scale):
    """A drawing at both widths of the page."""
    return {media: drawn(draw(thing, saw, media, *scale)) for media in ("narrow", "wide")}


def bar_rows(design, letters):
    """Every bar with its block, its size and what comes off it in cut order."""
    face_down = laid_out(design).face_down.tolist()
    names = {block.number: name_of(block, letters) for block in planned(design).blocks}
    return [
        {
            "number": bar.number,
            "block": names[bar.block],
            "piece": bar.job.shape.name,
            "width_mm": bar.width_mm,
            "length_mm": bar.length_mm,
            "marks": tuple(mark(piece, face_down) for piece in bar.pieces),
        }
        for bar in planned(design).bars
    ]


def mark(piece, face_down):
    """What is written on a piece: its number, F where it lies face down; or that it is a test or a spare."""
    if piece in {SPARE, TEST}:
        return "spare" if piece == SPARE else "test"
    return f"{piece}F" if face_down[piece - 1] else str(piece)


def offcut_rows(design):
    """What of the blocks ends in no piece, by cause, as shares of the blocks."""
    losses = planned(design).losses
    shares = [(words, getattr(losses, name)) for name, words in CAUSES]
    return [*shares[:ALWAYS], *(row for row in shares[ALWAYS:] if row[1])]


@dataclass(frozen=True)
class Exactness:
    """How exact gauge, stop and rips must be, and what this saw leaves open; None where nothing asks."""

    ring: object
    budget: object
    random_mm: float | None
    halves: bool
    truing: object = None
    stops: tuple = ()
    """Pieces whose stop goes farther when the points are cut fat: name, by how much in mm, and how many of
    them one bar holds with what all of these make together, on the safe side."""


@lru_cache(maxsize=32)
def exactness_of(design):
    """The tolerance budget of a design with its saw; a ring that gapes as two halves."""
    from projects.geometry.seams import random_ring_gap_mm, tolerance_budget

    ring, saw = pattern_of(design).ring, design.saw
    budget = tolerance_budget(laid_out(design), seams_of(design), saw)
    by_chance = ring and random_ring_gap_mm(ring.pieces, ring.radius_mm, saw.angle_error_deg / 2, ring.faces)
    halves = bool(ring and ring.pieces % 2 == 0)
    gapes = ring and budget.ring_gap_mm > budget.visible_mm
    truing = truing_of(ring, saw) if halves and gapes else None
    stops = stops_of(design, ring, truing) if truing else ()
    return Exactness(ring, budget, by_chance, halves, truing, stops)


def truing_of(ring, saw):
    """What is allowed for truing the two halves of a ring."""
    from projects.geometry.half_rings import half_ring_truing

    return half_ring_truing(ring.pieces, ring.radius_mm, saw.angle_error_deg, ring.faces)


def stops_of(design, ring, truing):
    """Pieces of a ring with their point cut on both sides: how much farther their stop goes."""
    jobs = [job for job in planned(design).jobs if job.cuts and job.shape.handling == "roll"]
    corner = 360 / ring.pieces
    own = [job for job in jobs if abs(abs(job.shape.right_deg - job.shape.left_deg) - corner) < SAME_DEG]
    farther = [(job, job.shape.stop_mm * (truing.longer - 1)) for job in own]
    return tuple((job.shape.name, by_mm, job.per_bar, job.per_bar * by_mm) for job, by_mm in farther)
