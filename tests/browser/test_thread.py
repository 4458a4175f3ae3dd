"""The whole thread as a maker walks it: from an empty installation to a sheet and a failure."""

import pytest

from materials.models import Movement
from projects.models import Failure, LogEntry, Pour, Sheet, Timer
from tests.browser.walker import Walker, photo_bytes

MOST_SUBMITS, MOST_TYPED = 12, 25
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1360, "height": 900}


@pytest.fixture
def walker(page, live_server, transactional_db):
    """A maker who has never been here."""
    return Walker(page, live_server.url)


def set_up_shop(walker):
    walker.open("/")
    walker.look("welcome")
    walker.type("shop_name", "Tallow Yard")
    walker.type("name", "Ines")
    walker.type("email", "ines@example.org")
    walker.type("password", "bog-oak-and-amber")
    walker.press("Open the shop", "/now/")
    walker.look("now, empty")


def fill_shelf(walker):
    walker.follow("Add a resin", "/resins/new/")
    sheet = {
        "name": "Tarn 90",
        "parts_a": "100",
        "parts_b": "45",
        "pot_minutes": "90 min",
        "recoat_open_h": "4 h",
        "recoat_close_h": "14 h",
        "demould_h": "24 h",
        "max_depth_mm": "25 mm",
    }
    for name, text in sheet.items():
        walker.type(name, text)
    walker.look("resin")
    walker.press("Keep this resin", "/bottles/?resin=*")
    walker.type("amount_a_g", "5 kg")
    walker.type("amount_b_g", "2.25 kg")
    walker.look("bottles")
    walker.press("Put them on the shelf", "/shelf/")
    walker.look("shelf")


def plan_block(walker):
    walker.follow("Projects", "/projects/")
    walker.look("projects, empty")
    walker.follow("Begin a project", "/projects/new/")
    walker.type("title", "Stair window")
    walker.press("Begin it", "/block/")
    walker.type("gap_mm", "1.5 mm")
    walker.type("strips", "60")
    walker.type("finished_mm", "1/2 in")
    walker.page.wait_for_selector("#id_finished_mm_echo:has-text('12.7')")
    walker.look("block")
    walker.press("Keep this block", "/steps/")
    walker.look("steps")


def mix_and_pour(walker):
    walker.page.locator("li", has_text="Pour block A").get_by_role("link").first.click()
    walker.page.wait_for_url("**/bench/*/")
    walker.look("bench")
    walker.follow("Mix a cup", "/mix/")
    walker.type("room_c", "20")
    walker.type("a_g", "700 g")
    walker.page.wait_for_selector("#mix-b :text('315')")
    walker.look("mix")
    walker.ask("B goes in now", "the seal coat is not ready")
    walker.look("mix, asked")
    walker.choose("It is dry to the touch")
    walker.press("B goes in now", "/cups/*/")
    walker.type("grams", "316 g")
    walker.look("cup")
    walker.page.get_by_role("button", name="B weighs this").click()
    walker.submits += 1
    walker.page.wait_for_selector("text=ratio is right")
    walker.look("cup, weighed")
    walker.follow("Pour it", "/pour/")
    walker.look("pour")
    walker.press("It is in the mould", "/photo/")
    walker.look("photo")
    walker.page.set_input_files(
        "#id_photo", {"name": "pour.jpg", "mimeType": "image/jpeg", "buffer": photo_bytes()}
    )
    walker.press("Add the photo", "/bench/*/")
    walker.look("bench, poured")


def make_sheet(walker):
    walker.follow("Back", "/steps/")
    walker.follow("Sheet", "/sheet/")
    walker.page.get_by_role("button", name="Make the sheet").click()
    walker.submits += 1
    walker.page.wait_for_selector("text=Sheet 1", timeout=20000)
    walker.look("sheets")


def record_failure(walker):
    walker.follow("Failures", "/failures/")
    walker.look("failures, empty")
    walker.follow("Something went wrong", "/failures/new/")
    walker.unfold("Resin")
    walker.choose("fine bubbles")
    walker.type("where", "left third, between the strips")
    walker.choose("wants repair")
    walker.page.set_input_files(
        "#id_photo", {"name": "b.jpg", "mimeType": "image/jpeg", "buffer": photo_bytes()}
    )
    walker.look("a failure")
    walker.press("Keep it in mind", "/failures/*-*/")
    walker.look("failures")


def read_it_all(walker):
    walker.follow("Log", "/log/")
    walker.look("log")
    walker.open("/")
    walker.look("now, with clocks")


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_new_maker_gets_from_nothing_to_a_failure_on_record(walker, size):
    walker.page.set_viewport_size(size)
    for part in (set_up_shop, fill_shelf, plan_block, mix_and_pour, make_sheet, record_failure, read_it_all):
        part(walker)
    assert walker.faults == []
    assert walker.said == []
    assert walker.submits <= MOST_SUBMITS
    assert walker.typed <= MOST_TYPED
    assert what_is_kept() == {"pours": 1, "sheets": 1, "failures": 1, "photos": 2, "drawn_g": [700.0, 316.0]}
    kinds = set(LogEntry.objects.values_list("kind", flat=True))
    assert kinds == {"overrule", "mix", "weigh", "pour", "photo", "sheet", "failure"}
    assert set(Timer.objects.running().values_list("kind", flat=True)) == {"recoat", "demould"}


def what_is_kept():
    """What the walk has left in the shop."""
    drawn = Movement.objects.filter(kind="use").order_by("pk").values_list("thousandths", flat=True)
    return {
        "pours": Pour.objects.count(),
        "sheets": Sheet.objects.count(),
        "failures": Failure.objects.count(),
        "photos": LogEntry.objects.exclude(entry_pictures=None).count(),
        "drawn_g": [-line / 1000 for line in drawn],
    }
