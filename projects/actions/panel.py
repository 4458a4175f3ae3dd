"""The panel's design kept, each time as one transaction."""

from django.db import transaction

from projects.actions import plan
from projects.models import PanelDesign, Project
from workshop import history

FIGURES = (
    "width_mm", "height_mm", "turn_deg", "glue_mm", "overhang_mm", "truing_mm", "trim_mm", "stub_mm",
)  # fmt: skip


@transaction.atomic
def keep_panel(member, project, values, blocks, *, at, why=""):
    """The design of a project as chosen, and what was chosen of its blocks; what was stays in history.

    `values` are those of the row; `blocks` pairs each block with its new values; `why`, where one of
    them was poured already.
    """
    # one project has one design: whoever keeps it second changes the first one's
    Project.objects.select_for_update().get(pk=project.pk)
    row = PanelDesign.objects.of_project(project)
    new = row is None
    if new:
        row = PanelDesign(shop=project.shop, project=project, created_at=at, created_by=member.user)
    before, after = ({}, told(values)) if new else news(told_of(row), told(values))
    if new or any(getattr(row, name) != value for name, value in values.items()):
        for name, value in values.items():
            setattr(row, name, value)
        row.save()
    if after:
        label = f"{project.code} panel"
        history.record(
            member, "designed" if new else "changed", row, at=at, label=label, before=before, after=after
        )
    for block, figures in blocks:
        plan.keep_block(member, block, figures, at=at, why=why)
    return row


def told_of(row):
    """A kept design as history tells it."""
    return told(
        {name: getattr(row, name) for name in ("pattern", "sizes", "origin", "lines", "saw", *FIGURES)}
    )


def told(values):
    """What a design is, one word for each figure."""
    from projects.panel.patterns import NAMES

    origin = values["origin"]
    x, y = origin or (None, None)
    found = {
        "pattern": NAMES[values["pattern"]],
        **{f"pattern_{name}": float(value) for name, value in values["sizes"].items()},
        **{name: float(values[name]) for name in FIGURES if name in values},
        "origin_x_mm": x,
        "origin_y_mm": y,
        "lines": PanelDesign.Lines(values["lines"]).label,
        "saw": str(values["saw"]) if values["saw"] else "a usual one",
    }
    return {name: value for name, value in found.items() if value is not None}


def news(before, after):
    """What differs between two tellings: two dicts."""
    names = [name for name in {**before, **after} if before.get(name) != after.get(name)]
    return {name: before.get(name) for name in names}, {name: after.get(name) for name in names}
