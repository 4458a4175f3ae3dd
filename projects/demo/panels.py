"""The demo's panels: designed before anything is cast, laid out dry when all pieces are cut."""

from projects.actions import dry_fit, panel, work
from projects.demo.story.panels import FIRST_DRAWN, PANELS, PARTLY_LAID, TURNED
from projects.demo.world import minutes
from projects.models import PanelDesign, PieceMark
from projects.panel.patterns import sizes_of
from projects.panel.rows import Shopful, asked_of, kept_of

ROWS = 3  # in so many goes somebody lays all pieces


def designed(story, at):
    """The panel as it was chosen on its page; where they thought again, what was drawn at first before it."""
    title = story.piece.title
    for drawn, later in ((FIRST_DRAWN.get(title), 0), (PANELS.get(title), 3)):
        if drawn:
            keep(story, drawn, at + minutes(later))


def keep(story, drawn, at):
    """One design kept as the Panel page keeps it."""
    names = [name for name, _, _ in sizes_of(story.piece.pattern)]
    row = {
        "pattern": story.piece.pattern,
        "sizes": dict(zip(names, map(float, drawn.sizes), strict=True)),
        "width_mm": float(drawn.width), "height_mm": float(drawn.height), "turn_deg": drawn.turn,
        "glue_mm": drawn.glue, "overhang_mm": drawn.overhang, "origin": None, "lines": drawn.lines,
        "saw": story.world.machines["saw"],
        "overrides": {"tints": {str(story.block.key): drawn.tint}, "blocks": {}},
    }  # fmt: skip
    asked = asked_of(PanelDesign(**row), [story.block], Shopful.of(story.world.shop))
    row["hash"] = asked.design().version()
    panel.keep_panel(story.member, story.project, row, [], at=at)


def laid(story, step, at):
    """Pieces onto their numbers, row by row; what lies the wrong way round is found at the end."""
    kept, lasts = kept_of(story.project), step.minutes // (ROWS + 1)
    if kept is not None:
        title, count = story.piece.title, len(kept.panel.number)
        laid_down = round(count * PARTLY_LAID.get(title, 1))
        for first in range(ROWS):
            at += minutes(lasts)
            yield at
            mark(story, range(1 + first, laid_down + 1, ROWS), "laid", kept.version, at)
        for number in story.dice.sample(range(1, laid_down + 1), TURNED.get(title, 0)):
            mark(story, [number], "turned", kept.version, at + minutes(2))
    at += minutes(lasts)
    yield at
    work.tell(story.member, step, "done", text=story.note(step), **story.world.act(at))


def mark(story, numbers, state, version, at):
    """Pieces ticked on the map that is in force."""
    found = PieceMark.State(state)
    dry_fit.mark(story.member, story.project, list(numbers), found, version=version, at=at)


def area_mm2(story):
    """The face that is sanded and finished: the panel's, or the block's where there is none."""
    drawn, block = PANELS.get(story.piece.title), story.block
    if drawn:
        return round(drawn.width * drawn.height)
    return round(block.length_mm * block.strips * (block.strip_mm + block.gap_mm))


def coat_for(story, supply):
    """How much of a finish goes on both faces, and what stays in the pad."""
    area = area_mm2(story)
    return {"area_mm2": area, "amount_ml": round(2 * area / 1e6 / supply.coverage_m2_l * 1000 + 4)}
