import contextlib
import functools
import hashlib
import html
import io
import json
import logging
import re
import time
from datetime import date
from types import SimpleNamespace

import pytest
import segno
from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from django.test import TestCase
from pypdf import PdfReader

from materials import actions as shelf
from materials.models import Lot
from projects import sheet_parts, sheets
from projects.actions import lessons, plan, strips, take_back, work
from projects.actions.check import keep_check
from projects.check import asked, facts
from projects.checklists import checks_of
from projects.models import LogEntry, Sheet
from tests.architecture.sources import ROOT
from tests.factories import (
    AT,
    Bench,
    BlockFactory,
    CheckItemFactory,
    LotFactory,
    StepFactory,
    design,
    key,
    moment,
)
from workshop.models import Event, Shop
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db

ADDRESS = "http://tallow.example"


class Shop4Paper(Bench):
    """A shop whose project was begun as people do, so that its pour has a checklist."""

    def __init__(self, **resin):
        super().__init__(**resin)
        self.project = plan.begin_project(
            self.member, title="Stair window", due_on=date(2026, 5, 1), resin=self.resin, at=AT
        )
        self.block = self.project.blocks.get()
        self.step = self.project.steps.get(kind="pour")

    def sheet(self, paper_size="a4", minutes=0):
        return sheets.make_sheet(
            self.member, self.block, key=key(), moment=moment(minutes), paper_size=paper_size, origin=ADDRESS
        )


@pytest.fixture
def kept_files(django_capture_on_commit_callbacks):
    """Files are kept once the rows are: `with kept_files():` around the act."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


@pytest.fixture
def quick(monkeypatch):
    """No PDF is made: for tests of what stands around it."""
    monkeypatch.setattr("workshop.paper.pdf", lambda template, context: b"%PDF")


class Listening(logging.Handler):
    """Keeps what the renderer says: its complaints, and how far it is."""

    def __init__(self):
        super().__init__(logging.INFO)
        self.heard = []

    def emit(self, record):
        self.heard.append((record.name, record.getMessage()))


@contextlib.contextmanager
def listening():
    """What the renderer says meanwhile."""
    logger, handler = logging.getLogger("weasyprint"), Listening()
    logger.addHandler(handler)
    before = logger.level
    logger.setLevel(logging.INFO)
    try:
        yield handler.heard
    finally:
        logger.setLevel(before)
        logger.removeHandler(handler)


@functools.cache
def printed(paper_size, units="metric", **resin):
    """A sheet with its PDF, its shop and what the renderer said; made once, since that takes a while."""
    shop = Shop4Paper(**resin)
    shop.shop.units = units
    shop.shop.save()
    with listening() as heard, TestCase.captureOnCommitCallbacks(execute=True):
        sheet = shop.sheet(paper_size)
    return SimpleNamespace(content=sheets.pdf_of(sheet), sheet=sheet, shop=shop, heard=heard)


def text_printed(**asked):
    """All that can be read on such a sheet."""
    return text_of(printed("a4", **asked).content)


def read(content):
    return PdfReader(io.BytesIO(content))


def text_of(content):
    """All that can be read in a PDF, with plain single spaces."""
    return " ".join(" ".join(page.extract_text() for page in read(content).pages).split())


# --- number and version ---


def test_sheets_of_a_project_are_numbered(quick):
    shop = Shop4Paper()
    assert [shop.sheet().number for _ in range(2)] == [1, 2]


def test_sheets_of_the_same_block_have_the_same_version(quick):
    shop = Shop4Paper()
    assert shop.sheet().version == shop.sheet(minutes=60).version


def test_a_version_is_two_groups_of_four(quick):
    assert re.fullmatch(r"[0-9a-f]{4} [0-9a-f]{4}", Shop4Paper().sheet().version)


def test_a_changed_block_gives_another_version(quick):
    shop = Shop4Paper()
    before = shop.sheet().hash
    plan.keep_block(shop.member, shop.block, {"strips": 51}, at=AT)
    assert shop.sheet().hash != before


def test_a_changed_sheet_of_the_resin_gives_another_version(quick):
    shop = Shop4Paper()
    before = shop.sheet().hash
    shelf.change_resin(shop.member, shop.resin, {"demould_h": 30.0}, at=AT)
    shop.block.refresh_from_db()
    assert shop.sheet().hash != before


def test_a_block_without_a_resin_gets_no_sheet(quick):
    shop = Shop4Paper()
    shop.block.resin = None
    with pytest.raises(Refused, match="The block has no resin yet. Choose one on the Block page"):
        shop.sheet()


def test_a_block_that_cannot_be_computed_gets_no_sheet(quick):
    shop = Shop4Paper()
    shop.block.finished_mm = 0.001
    with pytest.raises(Refused, match="The block can't be computed: depth is 0.001 mm"):
        shop.sheet()


def test_a_refused_sheet_leaves_no_file_and_no_number(quick):
    shop = Shop4Paper()
    shop.block.resin = None
    with pytest.raises(Refused, match="no resin"):
        shop.sheet()
    assert not Sheet.objects.exists()
    assert not default_storage.exists("sheets")


def test_the_log_says_that_a_sheet_was_made(quick):
    sheet = Shop4Paper().sheet()
    entry = LogEntry.objects.get(kind=LogEntry.Kind.SHEET)
    assert entry.text == f"Job sheet 1, version {sheet.version}"
    assert entry.project == sheet.project


def test_history_says_who_made_a_sheet(quick):
    shop = Shop4Paper()
    sheet = shop.sheet()
    event = Event.objects.get(target_key=sheet.key)
    assert (event.verb, event.actor) == ("made", shop.member)


# --- the snapshot ---


def test_the_snapshot_holds_the_block_and_its_figures(quick):
    snap = Shop4Paper().sheet().snapshot
    assert (snap["block"]["strips"], snap["block"]["gap_mm"]) == (50, 2)
    # 953.6352 ml (worked in test_advice.py) * 145 / (100/1.12 + 45/0.98) g/ml
    assert snap["figures"]["mix"]["mixed_g"] == pytest.approx(1022.729, abs=1e-3)


def test_the_snapshot_holds_the_clocks_at_the_warmth_of_the_shop(quick):
    # 4, 14 and 24 h at 25 C are 2^0.5 times as long at 20 C
    recoat, demould = Shop4Paper().sheet().snapshot["clocks"]
    assert (recoat["hours"], recoat["closes_h"]) == pytest.approx((5.65685, 19.79899), abs=1e-5)
    assert demould["hours"] == pytest.approx(33.94113, abs=1e-5)


def test_the_snapshot_names_the_bottles_to_use_first(quick):
    shop = Shop4Paper()
    soon = LotFactory(shop=shop.shop, resin=shop.resin, part="A", use_by=date(2026, 4, 1), place="door")
    first = shop.sheet().snapshot["bottles"][0]
    assert first == {"code": soon.code, "part": "A", "place": "door", "use_by": "2026-04-01"}


def test_an_empty_bottle_comes_after_one_that_holds_something(quick):
    shop = Shop4Paper()
    LotFactory(shop=shop.shop, resin=shop.resin, part="A", use_by=date(2026, 4, 1), grams=0)
    assert shop.sheet().snapshot["bottles"][0]["code"] == shop.lot_a.code


def load_all_the_same(shop, why="It is dry to the touch", minutes=10):
    """Strips loaded though their seal coat was wet."""
    reason = {"why": why, "against": ["seal coat still wet for 2 h"]}
    step = shop.project.steps.get(kind="load")
    values = {"count": 50, "all_the_same": reason}
    return strips.load_strips(shop.member, step, values, key=key(), moment=moment(minutes))


def test_the_snapshot_holds_what_was_done_all_the_same(quick):
    shop = Shop4Paper()
    assert shop.sheet().snapshot["all_the_same"] == {"rows": [], "more": 0}
    load_all_the_same(shop)
    row = shop.sheet().snapshot["all_the_same"]["rows"][0]
    assert (row["who"], row["step"]) == ("Ines", "Load the strips, hold down, level")
    assert (row["why"], row["against"]) == ("It is dry to the touch", "seal coat still wet for 2 h")


def test_the_sheet_holds_the_newest_of_it_and_counts_the_rest(quick):
    shop = Shop4Paper()
    for minutes, why in enumerate(["first", "second", "third " * 40]):
        load_all_the_same(shop, why, minutes)
    found = sheet_parts.all_the_same(shop.block)
    assert [row["why"][:6] for row in found["rows"]] == ["third ", "second"]
    assert (len(found["rows"][0]["why"]), found["more"]) == (70, 1)


def test_what_was_taken_back_is_no_longer_on_the_sheet(quick):
    shop = Shop4Paper()
    entry = load_all_the_same(shop)
    take_back.take_back(shop.member, entry, "Wrong figure", key=key(), moment=moment(20))
    assert shop.sheet().snapshot["all_the_same"]["rows"] == []


def test_what_was_done_all_the_same_for_another_block_is_not_on_the_sheet(quick):
    shop = Shop4Paper()
    load_all_the_same(shop)
    other = BlockFactory(shop=shop.shop, project=shop.project, resin=shop.resin, position=1)
    assert sheet_parts.all_the_same(other)["rows"] == []


def test_the_address_on_the_sheet_opens_the_project(quick):
    shop = Shop4Paper()
    assert shop.sheet().snapshot["address"] == (
        f"{ADDRESS}/s/{shop.shop.key}/projects/{shop.project.key}/block/"
    )


# --- the PDF ---


@pytest.mark.parametrize(
    ("paper_size", "width_mm", "height_mm"), [("a4", 210, 297), ("letter", 215.9, 279.4)]
)
def test_a_sheet_of_the_usual_route_has_four_pages_of_its_paper(paper_size, width_mm, height_mm):
    pages = read(printed(paper_size).content).pages
    assert len(pages) == 4
    for page in pages:
        size = [float(page.mediabox.width) / 72 * 25.4, float(page.mediabox.height) / 72 * 25.4]
        assert size == pytest.approx([width_mm, height_mm], abs=0.1)


@pytest.mark.parametrize("paper_size", ["a4", "letter"])
def test_the_longest_names_a_full_shelf_and_lessons_still_fit_on_four_pages(paper_size, kept_files):
    shop = Shop4Paper(name=("Tarn casting, the slow clear one " * 3)[:80], max_depth_mm=25)
    shop.project.title = ("A window for the stairs of the mill " * 4)[:120]
    shop.project.save()
    Shop.objects.filter(pk=shop.shop.pk).update(name=("Tallow Yard and friends " * 4)[:80])
    for part in "ABABAB":
        LotFactory(
            shop=shop.shop,
            resin=shop.resin,
            part=part,
            use_by=date(2026, 9, 1),
            place="on the left, upper board",
        )
    for kind in ("mould", "pour", "sand", "cut"):
        values = {
            "failure": None,
            "sentence": ("Looked at under a raking light " * 6)[:160],
            "step_kind": kind,
        }
        lessons.learn(shop.member, {**values, "resin": None, "species": None}, at=AT)
    for minutes in range(sheet_parts.MOST_REASONS + 1):
        load_all_the_same(shop, "It is dry to the touch. " * 11, minutes)
    design(shop.member, shop.project, pattern="star8", sizes={"side_mm": 40.0})
    shop.block = type(shop.block).objects.get(pk=shop.block.pk)
    with kept_files():
        sheet = shop.sheet(paper_size)
    content = sheets.pdf_of(sheet)
    assert "At the saw" in text_of(content)
    assert text_of(content).count("though seal coat still wet for 2 h") == sheet_parts.MOST_REASONS
    assert len(read(content).pages) == 4


def test_the_sheet_says_what_to_mix():
    text = text_printed()
    # 1022.729 g * 100/145 and * 45/145; over 1.12 and 0.98 g/ml
    assert "A in all 705.3 g, 629.8 ml" in text
    assert "B in all 317.4 g, 323.9 ml" in text
    assert "B = A × 0.450" in text


def test_the_sheet_names_its_project_and_its_bottles():
    text, shop = text_printed(), printed("a4").shop
    assert f"{shop.project.code} Stair window" in text
    assert f"A from {shop.lot_a.code}" in text
    assert f"B from {shop.lot_b.code}" in text


def test_the_sheet_says_its_number_its_version_and_when_it_was_made():
    text, sheet = text_printed(), printed("a4").sheet
    assert f"Sheet 1 · version {sheet.version}" in text
    assert "made Tue 10 Mar 2026, 10:00" in text  # 09:00 UTC on the wall in Berlin


def test_the_sheet_holds_checklist_blanks_and_cautions():
    text = text_printed()
    for said in [*checks_of("pour"), *sheets.CARES, "A weighed", "parts met at"]:
        assert said in text


def test_the_sheet_says_how_many_hours_to_wait():
    text = text_printed()
    assert "next pour not before 5.7 h, not after 19.8 h" in text
    assert "out of the mould after 33.9 h at 20 °C, if hard" in text
    assert "(the sheet’s 24 h at 25 °C, ten-degree rule)" in text


def test_the_step_of_the_cure_and_the_line_after_the_pour_say_one_figure():
    """One cure, one figure: the route plans with the law that its clock will run by."""
    hours = re.findall(r"out of the mould after ([0-9.]+) h", text_printed())
    bench = Bench()
    made = {"title": "Fanlight", "due_on": None, "resin": bench.resin}
    cure = plan.begin_project(bench.member, **made, at=AT).steps.get(kind="cure")
    assert hours == [f"{cure.minutes / 60:.1f}"]


def test_a_sheet_without_hours_names_none():
    text = text_printed(recoat_open_h=None, recoat_close_h=None, demould_h=None)
    assert "next pour not before" not in text
    assert "out of the mould" not in text


def test_a_shop_of_inches_reads_inches_and_ounces():
    text = text_printed(units="inch")
    assert "A in all 24.88 oz, 21.29 fl oz" in text  # 705.33 g / 28.349523; 629.76 ml / 29.573530


def test_the_sheet_is_tagged_for_screen_readers():
    root = read(printed("a4").content).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"


@pytest.mark.parametrize("paper_size", ["a4", "letter"])
def test_making_a_sheet_leaves_the_renderer_nothing_to_complain_of(paper_size):
    heard = printed(paper_size).heard
    assert [said for name, said in heard if name == "weasyprint"] == []
    # that a complaint would have been heard is shown by its other logger, which says how far it is
    assert [said for name, said in heard if name == "weasyprint.progress"]


# --- made again ---


def change_everything(shop):
    """All that a sheet prints is another thing now, but for the snapshot."""
    Shop.objects.filter(pk=shop.shop.pk).update(
        name="Another Yard", units="inch", zone="Asia/Tokyo", day_c=30
    )
    plan.keep_block(shop.member, shop.block, {"strips": 20, "gap_mm": 3.5}, at=AT)
    shelf.change_resin(
        shop.member, shop.resin, {"name": "Tarn 91", "parts_b": 60.0, "demould_h": 48.0}, at=AT
    )
    for lot in Lot.objects.filter(resin=shop.resin):
        Lot.objects.filter(pk=lot.pk).update(code=f"X-{lot.pk}", place="elsewhere")
    type(shop.project).objects.filter(pk=shop.project.pk).update(title="Fanlight", code="777")
    shop.step.checks.all().delete()


def test_the_kept_file_is_what_is_read(kept_files, quick):
    with kept_files():
        sheet = Shop4Paper().sheet()
    default_storage.delete(sheets.path_of(sheet))
    default_storage.save(sheets.path_of(sheet), io.BytesIO(b"as it was printed"))
    assert sheets.pdf_of(sheet) == b"as it was printed"


def test_the_kept_file_has_the_checksum_of_its_row(kept_files, quick):
    with kept_files():
        sheet = Shop4Paper().sheet()
    with default_storage.open(sheets.path_of(sheet)) as file:
        assert hashlib.sha256(file.read()).hexdigest() == sheet.pdf_sha256


def test_the_snapshot_makes_the_same_sheet_again_when_all_else_has_changed(kept_files):
    shop = Shop4Paper()
    with kept_files():
        sheet = shop.sheet()
    before = text_of(sheets.pdf_of(sheet))
    default_storage.delete(sheets.path_of(sheet))
    change_everything(shop)
    sheet = Sheet.objects.select_related("shop", "project").get(pk=sheet.pk)
    assert text_of(sheets.pdf_of(sheet)) == before


def test_the_same_snapshot_gives_the_same_bytes_in_one_installation(kept_files):
    with kept_files():
        sheet = Shop4Paper().sheet()
    time.sleep(1.1)  # fonts carry a time in whole seconds
    again = sheets.render(Sheet.objects.get(pk=sheet.pk))
    assert hashlib.sha256(again).hexdigest() == sheet.pdf_sha256


def test_the_pdf_is_made_once_the_rows_are_kept(kept_files, quick):
    with kept_files():
        sheet = Shop4Paper().sheet()
        assert not default_storage.exists(sheets.path_of(sheet))
    assert default_storage.exists(sheets.path_of(sheet))


def test_a_sheet_whose_file_was_never_kept_is_made_when_it_is_read(quick):
    assert sheets.pdf_of(Shop4Paper().sheet()) == b"%PDF"


def test_a_snapshot_of_the_first_version_still_makes_its_sheet(kept_files):
    shop = Shop4Paper()
    with kept_files():
        sheet = shop.sheet()
    sheet.snapshot = json.loads((ROOT / "tests/data/sheet_v1.json").read_text(encoding="utf-8"))
    content = sheets.render(sheet)
    text = text_of(content)
    assert len(read(content).pages) == 2
    assert "A in all 705.3 g, 629.8 ml" in text
    assert "One cup is taken here" in text
    assert "Strips in their slots, held down" in text
    assert "Fetch" not in text
    assert "Steps" not in text


# --- what to fetch, what to do ---


def test_the_sheet_says_what_to_fetch_and_from_where():
    text, shop = text_printed(), printed("a4").shop
    assert f"part A 705.3 g {shop.lot_a.code}" in text
    assert f"part B 317.4 g {shop.lot_b.code}" in text


def test_the_sheet_says_what_is_missing(quick):
    shop = Shop4Paper()
    Lot.objects.filter(resin=shop.resin, part="B").update(removed_at=AT)
    words = printed_words(shop.sheet())
    assert "part B 317.4 g missing 317.4 g" in words


def test_the_sheet_says_how_many_cups_to_mix():
    # 1022.729 g in cups of the sheet's 100 g would be eleven: six are the most, of 170.45 g
    text = text_printed()
    assert "6 117.6 g 52.9 g" in text
    assert "6 cups, one after the other: the sheet’s pot life is for 100 g in a cup." in text


def test_a_resin_for_larger_cups_is_mixed_in_one():
    text = text_printed(pot_mass_g=1100)
    assert "One cup is taken here" in text
    assert "1 705.3 g 317.4 g" in text


def printed_words(sheet):
    """All that can be read in the sheet's page before it becomes a PDF, with plain single spaces."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page_of(sheet))).split())


def page_of(sheet):
    """The sheet's page before it becomes a PDF."""
    return render_to_string("paper/job_sheet.html", sheets.context_of(sheet))


def test_a_sheet_after_a_pour_says_what_is_in_the_mould(quick):
    shop = Shop4Paper()
    shop.weigh_b(shop.meet(), grams=142)
    shop.pour(depth_mm=6)
    words = printed_words(shop.sheet(minutes=60))
    assert "in the mould Pour 1 of 10 Mar, 09:10: 456.5 g, 6 mm deep. 566.2 g are left to mix." in words


def test_a_sheet_after_the_last_pour_wants_no_cup(quick):
    shop = Shop4Paper()
    shop.weigh_b(shop.meet(a_g=706), grams=318)
    shop.pour()
    words = printed_words(shop.sheet(minutes=60))
    assert "All of its resin is in." in words
    assert "All of its resin is in the mould; the rows are for more." in words


def test_steps_stand_with_their_checklists_and_lessons(quick):
    shop = Shop4Paper()
    mould = StepFactory(shop=shop.shop, block=shop.block, kind="mould", title="Build the mould", people=2)
    CheckItemFactory(step=mould, text="Every seam taped")
    values = {"failure": None, "sentence": "Held a lamp inside", "step_kind": "mould"}
    lessons.learn(shop.member, {**values, "resin": None, "species": None}, at=AT)
    words = printed_words(shop.sheet())
    assert "Build the mould , 60 min, 2 people Every seam taped Lesson: Held a lamp inside" in words


def test_what_was_left_out_is_printed_with_its_reason(quick):
    shop = Shop4Paper()
    StepFactory(
        shop=shop.shop, block=shop.block, kind="seal", title="Seal", state="skipped", skip_why="oily wood"
    )
    sheet = shop.sheet()
    assert "Seal , skipped: oily wood – –" in printed_words(sheet)
    assert '<span class="box out"></span><b>Seal</b>' in page_of(sheet)


def test_a_step_that_is_done_says_who_did_it(quick):
    shop = Shop4Paper()
    step = shop.project.steps.get(kind="mould")
    work.tell(shop.member, step, "done", key=key(), moment=moment(5))
    assert re.search(rf"{re.escape(step.title)} , .*? 10 Mar Ines", printed_words(shop.sheet()))


# --- for the saw, and the combs ---


def test_a_sheet_says_how_the_saw_is_set_for_the_panel(quick):
    shop = Shop4Paper()
    design(shop.member, shop.project)
    words = printed_words(shop.sheet())
    assert (
        "At the saw Piece rip to gauge stop between two cuts pieces bars "
        "T 30 mm 45° 60 mm roll over, then slide to the stop 296 20 "
    ) in words
    assert (
        "20 bars, from this block bar 1–6: one end squared, 3 mm off; the last 40 mm stay as a stub." in words
    )
    assert "Hands at least 150 mm off the blade" in words


def test_the_saw_shares_the_page_of_a_kept_check(kept_files):
    shop = Shop4Paper()
    design(shop.member, shop.project)
    answers = asked.first_answers(shop.step, at=AT) | {"shop_c": 22.0, "humidity_percent": 45.0}
    checked = facts.check(shop.step, answers, AT)
    keep_check(shop.member, shop.step, answers, checked, key=key(), moment=moment(0))
    shop.block = type(shop.block).objects.get(pk=shop.block.pk)
    with kept_files():
        sheet = shop.sheet(minutes=1)
    pages = [page.extract_text() for page in read(sheets.pdf_of(sheet)).pages]
    assert [("Check before the mix" in page, "At the saw" in page) for page in pages].count((True, True)) == 1


def test_without_a_panel_nothing_is_said_for_the_saw(quick):
    assert "At the saw" not in printed_words(Shop4Paper().sheet())


def test_a_sheet_says_how_many_combs_and_where_they_stand(quick):
    # slots of 2 + 0.1 + 0.2, fifty strips on a bed of 180: two combs at each place
    words = printed_words(Shop4Paper().sheet())
    ends = "at both ends of the strips and every 120 mm between"
    assert f"12 combs , slots of 2.3 mm, 25 + 25 side by side, {ends}." in words


def test_strips_are_on_the_sheet_before_a_bundle_or_a_wood_is_chosen(quick):
    shop = Shop4Paper()
    assert (
        "Wood not chosen yet, strips of 2 mm × 12 mm × 600 mm 50 strips missing 50 strips"
        in printed_words(shop.sheet())
    )


def test_a_shop_of_inches_gets_its_drawing_in_inches(quick):
    shop = Shop4Paper()
    shop.shop.units = "inch"
    shop.shop.save()
    shop.block.shop = shop.shop
    words = printed_words(shop.sheet())
    assert "The block in its mould, in inches" in words
    assert "7.795 in , 50 strips" in words


# --- the code that a phone reads ---


def squares_of(svg):
    """The dark squares that the path of a code draws, as (row, column), and how wide the code is."""
    size = int(re.search(r'viewBox="0 0 (\d+) \1"', svg)[1])
    runs = re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", svg)
    assert all(there == back for _, _, there, back in runs)
    dark = {(int(y), int(x) + n) for x, y, length, _ in runs for n in range(int(length))}
    return dark, size


def test_the_code_on_paper_is_the_address_of_the_project(quick):
    sheet = Shop4Paper().sheet()
    dark, size = squares_of(sheets.context_of(sheet)["qr_svg"])
    border = 2
    # the same address drawn by the library itself, square by square
    matrix = segno.make(sheet.snapshot["address"], error="m", boost_error=False).matrix
    wanted = {(y + border, x + border) for y, row in enumerate(matrix) for x, cell in enumerate(row) if cell}
    assert size == len(matrix) + 2 * border
    assert dark == wanted


def test_the_code_of_another_project_is_another_one(quick):
    codes = [squares_of(sheets.context_of(Shop4Paper().sheet())["qr_svg"])[0] for _ in range(2)]
    assert codes[0] != codes[1]
