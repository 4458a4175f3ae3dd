"""Job sheets: a snapshot of what is planned, its version, and the PDF made from it."""

import hashlib
import zoneinfo
from types import SimpleNamespace

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from materials import advice as shelf_advice
from materials import ageing
from materials.models import Lot
from projects import advice, sheet_parts
from projects.actions import log
from projects.check import picture, printed
from projects.models import LogEntry, Project, Sheet, Step
from projects.panel import casting
from workshop import history, paper
from workshop.refusals import Refused
from workshop.units import shown_unit

MOST_LINES = 9  # of the mix table and to write on, so that both fit on one page
LEAST_ROWS = 3  # of the mix table: somebody may take another cup
BOTTLES = 2  # of each part; more would not fit on two pages beside the longest names

# common practice, no source
WITH_THE_CUP = (
    ("mix slowly, scrape the sides, change the cup once", ""),
    ("fill along the length in a thin stream", "from"),
    ("look for leaks", "at"),
    ("warmth every hour", "°C"),
)
CARES = (
    "A cup that gets hot goes outside and is poured out flat. Never sawdust on a spill: it can catch fire.",
    "Gloves and glasses; uncured resin makes skin allergic for good. Sanding dust: extraction and a mask.",
    "These figures are an aid. The maker's data sheet and local rules come first.",
)


def snapshot_of(block, *, made_at, address):
    """All that a sheet prints, as plain values, so that it can be made again."""
    resin, project = block.resin, block.project
    today = made_at.astimezone(block.shop.tz).date()
    figures = advice.block_figures(advice.values_of(block), resin)
    mould = sheet_parts.in_the_mould(block)
    cups = sheet_parts.cups_for(resin, mould["left_g"], mould["pours"])
    life = shelf_advice.cup_life(resin, cups[0]["mixed_g"] if cups else figures.mix.mixed_g, block.shop.day_c)
    steps = sheet_parts.step_rows(block)
    return {
        "version": 2,
        "project": {"code": project.code, "title": project.title, "due_on": sheet_parts.iso(project.due_on)},
        "block": {**advice.values_of(block), "name": str(block), "species": str(block.species or "")},
        "figures": plain(figures),
        "resin": resin_facts(resin),
        "bottles": [bottle_facts(lot) for part in ("A", "B") for lot in next_bottles(resin, part, today)],
        "fetch": sheet_parts.fetch_list(block, mould["left_g"], today),
        "at_hand": sheet_parts.at_hand(block.shop),
        "mould": mould,
        "check": printed.check_of(block),
        "all_the_same": sheet_parts.all_the_same(block),
        "panel": advice.panel_hash(project),
        "more_blocks": casting.more_blocks(project),
        "cups": cups,
        "steps": steps,
        "cares": sheet_parts.cares_of(steps),
        "cup": {
            "minutes": life.minutes,
            "heavier": life.heavier,
            "temp_c": block.shop.day_c,
            "source": life.source,
        },
        "clocks": [
            {
                "kind": clock["kind"],
                "hours": clock["due_min"] / 60,
                "closes_h": clock["closes_min"] / 60 if clock.get("closes_min") else None,
                "law": law_of(resin, clock),
            }
            for clock in advice.pour_clocks(resin, block.shop.day_c)
        ],
        "checks": [
            item["text"] for step in steps if step["kind"] == Step.Kind.POUR for item in step["checks"]
        ],
        "shop": {"name": block.shop.name, "units": block.shop.units, "zone": block.shop.zone},
        "made_at": made_at.isoformat(),
        "address": address,
    }


def law_of(resin, clock):
    """What a clock's hours come from: the sheet's own hours, and both warmths of the ten-degree rule."""
    figures = clock["figures"]
    sheet_h = {"recoat": resin.recoat_open_h, "demould": resin.demould_h}[clock["kind"]]
    return {"sheet_h": sheet_h, "sheet_c": figures["sheet_c"], "temp_c": figures["temp_c"]}


def plain(figures):
    """A frozen result as a dict of plain values."""
    values = dict(vars(figures))
    values["mix"] = dict(vars(figures.mix)) if figures.mix else None
    return values


def resin_facts(resin):
    """What the sheet prints of a resin."""
    parts = shelf_advice.to_100_of_a(resin)
    return {
        "name": resin.name,
        "basis": resin.get_basis_display(),
        "by_mass": list(parts),
        **advice.sheet_values(resin),
    }


def next_bottles(resin, part, today):
    """The bottles in the order of use; those that hold nothing by their ledger come last."""
    bottles = Lot.objects.of(resin.shop).bottles(resin, part).with_on_hand().with_names()
    return sorted(ageing.to_use(bottles, today), key=lambda lot: lot.on_hand <= 0)[:BOTTLES]


def bottle_facts(lot):
    """What the sheet prints of a bottle."""
    return {"code": lot.code, "part": lot.part, "place": lot.place, "use_by": sheet_parts.iso(lot.use_by)}


def page_of(block):
    """The address of a block's page; the first one's is the short one, which older papers carry."""
    place = [block.shop.key, block.project.key]
    if block.position:
        return reverse("projects:block-of", args=[*place, block.letter])
    return reverse("projects:block", args=place)


@transaction.atomic
def make_sheet(member, block, *, key, moment, paper_size, origin):
    """A new numbered sheet of a block: snapshot and version. `origin` is the address for its code.

    Its PDF is made once the rows are kept: that takes a second, in which nobody else has to wait.
    Raises Refused while the block has no resin or its figures make no block.
    """
    if block.resin is None:
        raise Refused("The block has no resin yet. Choose one on the Block page, then make the sheet.")
    reason = advice.figures_or_reason(advice.values_of(block), block.resin)[1]
    if reason:
        raise Refused(f"The block can't be computed: {reason}")
    # the project's row is locked so that two sheets made at once get two numbers
    project = Project.objects.select_for_update().get(pk=block.project_id)
    number = project.sheets.count() + 1
    address = origin + page_of(block)
    snapshot = snapshot_of(block, made_at=moment.happened_at, address=address)
    sheet = Sheet(
        shop=member.shop,
        created_at=moment.received_at,
        created_by=member.user,
        project=project,
        number=number,
        paper=paper_size,
        snapshot=snapshot,
        hash=advice.design_hash(block),
        made_at=moment.happened_at,
    )
    sheet.save()
    transaction.on_commit(lambda: keep_pdf(sheet))
    history.record(member, "made", sheet, at=moment.received_at, label=f"{project} sheet {number}")
    log.write(
        member,
        LogEntry.Kind.SHEET,
        key=key,
        moment=moment,
        project=project,
        text=f"Job sheet {number}, version {sheet.version}",
    )
    return sheet


def keep_pdf(sheet):
    """The PDF as it is printed: its file, and the checksum in its row."""
    content = render(sheet)
    default_storage.save(path_of(sheet), ContentFile(content))
    sheet.pdf_sha256 = hashlib.sha256(content).hexdigest()
    sheet.save(update_fields=["pdf_sha256"])


def path_of(sheet):
    """Where a sheet's PDF lies in the media store."""
    return f"sheets/{sheet.shop.key}/{sheet.key}.pdf"


def pdf_of(sheet):
    """The PDF of a sheet: the kept file, or made again from the snapshot."""
    path = path_of(sheet)
    if default_storage.exists(path):
        with default_storage.open(path) as file:
            return file.read()
    return render(sheet)


def render(sheet):
    """The PDF from the snapshot alone, by the clock that hung on the shop's wall then."""
    with timezone.override(zoneinfo.ZoneInfo(sheet.snapshot["shop"]["zone"])):
        return paper.pdf("paper/job_sheet.html", context_of(sheet))


def warmth_of(snap):
    """The temperature picture of the check that the sheet prints; none where there was none."""
    kept = (snap.get("check") or {}).get("picture")
    return picture.paper_svg(kept, snap["shop"]["units"]) if kept else ""


def context_of(sheet):
    """What the sheet's template gets."""
    from projects.geometry import section

    snap = sheet.snapshot
    stack = advice.stack_of(snap["block"])
    mix, unit = snap["figures"]["mix"], shown_unit("length", snap["shop"]["units"])
    cups = snap.get("cups", [mix])  # sheets of before had one cup
    told = snap.get("all_the_same", {}).get("rows", [])
    cup_rows = [*cups, *[None] * max(1, LEAST_ROWS - len(cups))]
    return {
        "sheet": sheet,
        "snap": snap,
        "paper": sheet.paper,
        "shop": SimpleNamespace(**snap["shop"]),  # as it was: its units may have changed since
        "section_svg": section.section_svg(advice.block_of(snap["block"], stack), media="paper", unit=unit),
        "warmth_svg": warmth_of(snap),
        "unit": {"mm": "millimetres", "in": "inches"}[unit],
        "qr_svg": paper.qr_svg(snap["address"], "Opens this project on the phone"),
        "made_at": sheet.made_at,
        "b_factor": mix["b_g"] / mix["a_g"],
        "cup_rows": cup_rows,
        "write_lines": range(max(2, MOST_LINES - len(cup_rows)) - len(told)),
        "cups": cups,
        "short": [row for row in snap.get("fetch", []) if row["short"]],
        "with_the_cup": WITH_THE_CUP,
        "cares": [*CARES, *snap.get("cares", [])],
        "recoat": next((clock for clock in snap["clocks"] if clock["kind"] == "recoat"), None),
        "demould": next((clock for clock in snap["clocks"] if clock["kind"] == "demould"), None),
    }
