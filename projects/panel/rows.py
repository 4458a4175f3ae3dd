"""From rows to designs: what the shop's machines and the project's blocks give to a panel."""

from dataclasses import dataclass

from django.db.models import Prefetch

from projects import advice
from projects.geometry.saw import Saw
from projects.models import Flaw, PanelDesign
from projects.panel.design import Asked, laid_out
from projects.panel.stock import stock_of, taken_of
from workshop.models import Machine

CUTTING = {"truing_mm": 0.0, "trim_mm": 3.0, "stub_mm": 40.0}  # of a design, as usual; judgement, no source
FRAME = ("width_mm", "height_mm", "turn_deg", "glue_mm", "overhang_mm")
LONGEST_MM, WIDEST_MM = 600, 200  # of a block, where no mould says otherwise; common practice, no source


@dataclass(frozen=True)
class Shopful:
    """What of the shop's machines a design needs: saws to choose from, the largest mould, a printer."""

    saws: tuple
    mould: Machine | None
    printer: Machine | None

    @classmethod
    def of(cls, shop):
        """As they are in use now."""
        kinds = Machine.Kind
        wanted = [kinds.SAW, kinds.MOULD, kinds.PRINTER]
        rows = list(Machine.objects.of(shop).in_use().filter(kind__in=wanted).order_by("name", "pk"))
        moulds = [row for row in rows if row.kind == kinds.MOULD and row.bed_mm and row.max_length_mm]
        printers = [row for row in rows if row.kind == kinds.PRINTER]
        return cls(
            tuple(row for row in rows if row.kind == kinds.SAW),
            max(moulds, key=lambda row: row.bed_mm * row.max_length_mm, default=None),
            printers[0] if printers else None,
        )


def saw_of(machine, **cutting):
    """The pure saw of a machine; what it doesn't say has its usual value. `cutting`: truing, trim, stub."""
    names = ("kerf_mm", "angle_error_deg", "length_error_mm")
    told = {name: getattr(machine, name) for name in names if machine and getattr(machine, name) is not None}
    known = {**CUTTING, **cutting}
    own = {"true_mm": known["truing_mm"], "trim_mm": known["trim_mm"], "hold_mm": known["stub_mm"]}
    return Saw(**told, **own)


def stack_of(values, resin, mould):
    """The pure stack of a block's values, as long and wide as the shop's mould allows."""
    from dataclasses import replace

    stack = advice.stack_of(values, resin.refractive_index if resin else 1.55)
    room = {"max_length_mm": LONGEST_MM, "max_width_mm": WIDEST_MM}
    if mould:
        rim = 2 * values["rim_mm"]
        room = {"max_length_mm": mould.max_length_mm - rim, "max_width_mm": mould.bed_mm - rim}
    return replace(stack, **{name: max(1.0, value) for name, value in room.items()})


def blocks_of(project):
    """The project's blocks in order, with what they are made of."""
    flaws = Prefetch("flaws", queryset=Flaw.objects.kept().in_order(), to_attr="kept_flaws")
    rows = project.blocks.select_related("resin", "species", "project", "shop").prefetch_related(flaws)
    return list(rows.order_by("position", "pk"))


def asked_of(row, blocks, shopful):
    """What a kept design asks for."""
    stacks = {
        str(block.key): stack_of(advice.values_of(block), block.resin, shopful.mould) for block in blocks
    }
    first = next(iter(stacks.values()))
    chosen = row.overrides.get("blocks", {})
    return Asked(
        pattern=row.pattern,
        sizes=row.sizes,
        frame={**{name: getattr(row, name) for name in FRAME}, "origin": row.origin},
        lines=row.lines,
        first=first,
        by_shape={shape: stacks[key] for shape, key in chosen.items() if key in stacks},
        saw=saw_of(row.saw, **{name: getattr(row, name) for name in CUTTING}),
        stock=stock_of(blocks, stacks, taken_of(row)),
    )


@dataclass(frozen=True)
class Kept:
    """A kept design with all that is computed from it."""

    row: PanelDesign
    blocks: list
    shopful: Shopful
    design: object

    @property
    def version(self):
        """What its papers carry."""
        return self.design.version()

    @property
    def panel(self):
        """Its pieces."""
        return laid_out(self.design)


def kept_of(project):
    """The kept design of a project, or None; four questions to the database."""
    row = PanelDesign.objects.of_project(project)
    if row is None:
        return None
    row.project, row.shop = project, project.shop
    blocks, shopful = blocks_of(project), Shopful.of(project.shop)
    return Kept(row, blocks, shopful, asked_of(row, blocks, shopful).design())


def design_hash(project):
    """The version of a project's panel for sheets and maps; empty where none is designed."""
    kept = kept_of(project)
    return kept.version if kept else ""
