"""From a pattern to saw settings: what a maker with a panel in mind presses, types and gets."""

import io
import re

import pytest
import trimesh

from projects.models import Block, PanelDesign
from tests.browser.walker import Walker

MOST_SUBMITS, MOST_TYPED = 5, 13
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1360, "height": 900}
SHEET = {
    "name": "Tarn 90", "parts_a": "100", "parts_b": "45", "pot_minutes": "90 min", "recoat_open_h": "4 h",
    "recoat_close_h": "14 h", "demould_h": "24 h", "max_depth_mm": "25 mm",
}  # fmt: skip


@pytest.fixture
def walker(page, live_server, transactional_db):
    """A maker who has never been here."""
    return Walker(page, live_server.url)


def begin(walker):
    """A shop, a resin by its sheet, a project: what every first piece needs."""
    walker.open("/")
    for name, text in {
        "shop_name": "Tallow Yard", "name": "Ines", "email": "ines@example.org",
        "password": "bog-oak-and-amber",
    }.items():  # fmt: skip
        walker.type(name, text)
    walker.press("Open the shop", "/now/")
    walker.follow("Add a resin", "/resins/new/")
    for name, text in SHEET.items():
        walker.type(name, text)
    walker.press("Keep this resin", "/bottles/?resin=*")
    walker.follow("Projects", "/projects/")
    walker.follow("Begin a project", "/projects/new/")
    walker.type("title", "Stair window")
    walker.press("Begin it", "/block/")


def design(walker):
    """Nested squares of 60 in 600 × 420 stand there already; nothing has to be typed."""
    walker.follow("Panel", "/panel/")
    page = walker.page
    assert page.input_value("#id_width_mm") == "600 mm"
    assert page.input_value("#id_height_mm") == "420 mm"
    assert page.input_value("#id_size_side_mm") == "60 mm"
    assert page.is_checked("input[name=pattern][value=squares]")
    walker.look("panel")
    walker.press("Keep this design", "/block/")


def cast(walker):
    """The block that the panel asks for, one press away; resin by mass."""
    page = walker.page
    walker.look("block, before")
    page.get_by_role("link", name=re.compile("^Take over")).click()
    page.wait_for_url("**/block/?*")
    assert page.input_value("#id_strips") == "50"
    said = page.inner_text("#main")
    assert re.search(r"All of them take\s+[\d\s]+g of resin", said)
    walker.look("block, taken over")
    walker.press("Keep this block", "/cuts/")


def saw(walker):
    """Bars, blocks and settings on one page."""
    said = walker.page.inner_text("#main")
    for words in ("Blocks with their rips", "Saw settings", "Rip to", "45°", "Stop", "In this order"):
        assert words in said
    assert re.search(r"Bar 1–\d+: 15 of piece T", said)
    walker.look("cuts")
    figures = " ".join(said.split())
    assert "Rip to 30 mm" in figures
    assert "Stop 60 mm" in figures


def comb(walker):
    """A comb file, from the block's page."""
    walker.follow("Block", "/block/")
    walker.follow("Make the combs", "/combs/")
    walker.look("combs")
    with walker.page.expect_download() as found:
        walker.page.get_by_role("link", name="STL to print", exact=True).click()
    return found.value.path().read_bytes()


def checked_comb(data):
    """One watertight body in millimetres with a slot for each strip of half the block."""
    mesh = trimesh.load(io.BytesIO(data), file_type="stl")
    assert mesh.is_watertight
    assert mesh.body_count == 1
    assert mesh.volume > 0
    length, height, thick = sorted(mesh.extents, reverse=True)
    # 25 slots at a pitch of 4 mm and one tooth more, 2 mm less 0.1 mm of sealer and 0.2 mm of play
    assert length == pytest.approx(25 * 4 + 1.7, abs=1e-3)
    assert 5 < height < 40
    assert thick == pytest.approx(3)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_pattern_in_mind_becomes_bars_blocks_settings_mass_and_a_comb(walker, size):
    walker.page.set_viewport_size(size)
    begin(walker)
    typed, submits = walker.typed, walker.submits
    for part in (design, cast, saw):
        part(walker)
    checked_comb(comb(walker))
    assert walker.faults == []
    assert walker.said == []
    assert (walker.submits, walker.typed) == (MOST_SUBMITS, MOST_TYPED)
    # from the begun project on: two acts, and not one figure typed
    assert (walker.submits - submits, walker.typed - typed) == (2, 0)
    block, row = Block.objects.get(), PanelDesign.objects.get()
    assert (row.pattern, row.sizes, row.width_mm, row.height_mm) == ("squares", {"side_mm": 60}, 600, 420)
    assert (block.strips, block.length_mm) == (50, 569)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_act_that_leads_on_is_in_sight_on_each_page(walker, size):
    walker.page.set_viewport_size(size)
    begin(walker)
    for tab, act in (("Panel", "Keep this design"), ("Block", "Keep this block")):
        walker.follow(tab, f"/{tab.lower()}/")
        assert in_sight(walker.page.get_by_role("button", name=act, exact=True))
    walker.follow("Panel", "/panel/")
    walker.press("Keep this design", "/block/")
    assert in_sight(walker.page.get_by_role("link", name=re.compile("^Take over")))
    walker.follow("Cuts", "/cuts/")
    assert in_sight(walker.page.get_by_role("link", name="Lay the pieces dry", exact=True))


def in_sight(act):
    """Whether an act stands within the window without scrolling."""
    box, window = act.bounding_box(), act.page.viewport_size
    return box["y"] >= 0 and box["y"] + box["height"] <= window["height"]


def test_a_tap_marks_a_flaw_and_the_cuts_go_around_it(walker):
    walker.page.set_viewport_size(PHONE)
    begin(walker)
    design(walker)
    page = walker.page
    walker.follow("Mark a flaw", "/flaws/")
    walker.look("flaws, none")
    drawing = page.locator("[data-taps] svg:visible")
    box = drawing.bounding_box()
    drawing.click(position={"x": box["width"] * 0.5, "y": box["height"] * 0.5})
    page.wait_for_selector("#flaws-drawn [stroke-dasharray]:visible", state="attached")
    along, across = (float(page.input_value(f"#id_{name}").split()[0]) for name in ("along_mm", "across_mm"))
    assert (along, across) == (pytest.approx(300, abs=4), pytest.approx(99, abs=4))
    page.get_by_role("button", name="Mark this flaw", exact=True).click()
    page.wait_for_selector("text=enough is left")
    walker.look("flaws, one")
    page.get_by_role("button", name="Take off flaw 1").click()
    page.wait_for_selector("text=Put it back")
    page.get_by_role("button", name="Put it back").click()
    page.wait_for_selector("text=enough is left")
    walker.follow("See the cuts go around", "/cuts/")
    assert "Block A, as it lies there" in page.inner_text("#main")
    walker.look("cuts, around a flaw")
    assert walker.faults == []
    assert walker.said == []
