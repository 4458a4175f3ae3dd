"""Clocks count down by the server's time and ring once, late rather than never."""

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import pytest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from tests.browser.script_pages import kept, serve, until
from workshop.drawing.clock import clock as draw

NOW = datetime(2026, 3, 10, 13, 45, tzinfo=UTC)
MINUTE_MS = 60_000
ALARM = "#alarms .alarm"
ARM = '<div data-arm-row hidden><button type="button" data-arm></button><span data-arm-says></span></div>'
POLL = '<div hx-get="/clocks/" hx-trigger="every 15s" hx-target="this" hx-swap="innerHTML">{}</div>'
COUNT = """window.rings = [];
document.addEventListener('grainglass:ring', event => window.rings.push(event.detail));"""


def clock_row(now=NOW, **changed):
    """A clock that began a quarter of an hour ago and is due in 71 minutes."""
    values = {
        "key": "cup-1", "kind": "pot_life", "name": "Cup 1, pot life", "subline": "Stair window",
        "until": "left, then too thick", "moved": "",
        "started_at": NOW - timedelta(minutes=15), "due_at": NOW + timedelta(minutes=71), "early_at": None,
        "closes_at": None, "settled_at": None, "href": "/clocks/cup-1/", "slot_unit": "", "foot_left": "",
        "foot_right": "", "marked": "", "late_text": "",
    } | changed  # fmt: skip
    opens = values["due_at"] if values["closes_at"] else None
    drawn = draw(values["started_at"], now, values["due_at"], opens=opens, closes=values["closes_at"])
    return SimpleNamespace(**values, svg=SafeString(drawn.svg))


def listed(*clocks, now=NOW):
    """The list of running clocks as the server sends it."""
    rows = "".join(render_to_string("_clock.html", {"clock": clock, "server_now": now}) for clock in clocks)
    return f'<ul class="clocks" data-clock-list data-now="{now.isoformat()}">{rows}</ul>'


@pytest.fixture
def site(page):
    """A site; the browser's clock stands at NOW, and rings are counted."""
    site, stop = serve()
    page.add_init_script(COUNT)
    page.clock.install(time=NOW)
    yield site
    stop()


def show(page, site, *clocks, now=NOW):
    """Open a page with these clocks running."""
    site.page("/", ARM + POLL.format(listed(*clocks, now=now)), now)
    site.answers["GET /clocks/"] = lambda request: (204, "", {})
    page.goto(site.origin + "/")
    page.wait_for_selector("[data-arm-row]:not([hidden])")


def arm(page):
    page.get_by_role("button", name="Turn alarms on").click()
    page.wait_for_selector("[data-arm-says]:has-text('Sound is on in this tab')")


def pass_minutes(page, minutes):
    """Let time pass: the browser's timers fire once, as after a sleep, then run on."""
    page.clock.fast_forward(round(minutes * MINUTE_MS))
    page.clock.run_for(2000)


def left(page):
    return tuple(page.inner_text(f"[data-left{part}]") for part in ("", "-unit", "-until"))


def rings(page):
    return [(ring["key"], ring["kind"]) for ring in page.evaluate("window.rings")]


def test_hours_count_down(page, site):
    show(page, site, clock_row())
    assert left(page) in [("1:11", "h", "left, then too thick"), ("1:10", "h", "left, then too thick")]
    pass_minutes(page, 5)
    assert left(page)[0] == "1:05"


def test_last_hour_counts_in_seconds(page, site):
    show(page, site, clock_row())
    pass_minutes(page, 30)
    minutes, seconds = left(page)[0].split(":")
    assert left(page)[1] == "min"
    assert int(minutes) == 40
    assert 30 <= int(seconds) <= 59


def test_device_with_a_wrong_clock_shows_the_servers_time(page, site):
    ahead = NOW + timedelta(minutes=20)
    show(page, site, clock_row(), now=ahead)
    assert left(page)[0] in {"51:00", "50:59", "50:58"}


def test_polled_list_corrects_the_time(page, site):
    show(page, site, clock_row())
    later = NOW + timedelta(minutes=31)
    site.answers["GET /clocks/"] = lambda request: (200, listed(clock_row(), now=later), {})
    page.clock.run_for(16_000)
    until(page, "document.querySelector('[data-left-unit]').textContent === 'min'")
    assert left(page)[0].split(":")[0] in {"39", "40"}


def test_light_moves_with_the_time(page, site):
    row = clock_row(started_at=NOW, due_at=NOW + timedelta(minutes=100))
    show(page, site, row)
    pass_minutes(page, 50)
    page.clock.run_for(6000)
    width = float(page.get_attribute(".slots .passed", "width").rstrip("%"))
    assert width == pytest.approx(50, abs=0.3)
    assert page.get_attribute(".slots .now", "x1") == page.get_attribute(".slots .passed", "width")


def test_open_window_counts_to_its_end(page, site):
    show(page, site, clock_row(due_at=NOW + timedelta(minutes=10), closes_at=NOW + timedelta(hours=5)))
    pass_minutes(page, 20)
    assert left(page) == ("4:39", "h", "until it closes")


def test_clock_that_is_due_rings_once(page, site):
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 71)
    until(page, "window.rings.length === 1")
    page.clock.run_for(5000)
    assert rings(page) == [("cup-1", "due")]
    assert page.inner_text(f"{ALARM} [data-what]") == "Cup 1, pot life: time is up."
    assert page.title().startswith("Rings: Cup 1, pot life · ")


def test_early_ring_comes_before_the_due_one(page, site):
    show(page, site, clock_row(early_at=NOW + timedelta(minutes=50)))
    arm(page)
    pass_minutes(page, 50)
    until(page, "window.rings.length === 1")
    assert page.inner_text(f"{ALARM} [data-what]") == "Cup 1, pot life: 20 min left, then too thick."
    pass_minutes(page, 21)
    until(page, "window.rings.length === 2")
    assert rings(page) == [("cup-1", "early"), ("cup-1", "due")]
    assert page.locator(ALARM).count() == 1


def test_ring_is_heard(page, site):
    page.add_init_script(
        "const start = OscillatorNode.prototype.start; window.tones = 0;"
        "OscillatorNode.prototype.start = function (at) { window.tones += 1; return start.call(this, at); }"
    )
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 71)
    until(page, "window.tones === 6")
    assert rings(page) == [("cup-1", "due")]


def test_late_ring_says_how_late(page, site):
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 74)
    until(page, "window.rings.length === 1")
    assert page.inner_text(f"{ALARM} [data-then]") == "Rang 3 min late."


def test_without_sound_the_row_still_comes_and_says_so(page, site):
    show(page, site, clock_row())
    pass_minutes(page, 74)
    page.wait_for_selector(ALARM)
    assert page.inner_text(f"{ALARM} [data-then]") == "Shown 3 min late, without sound."
    assert rings(page) == []


def test_turning_alarms_on_late_rings_then(page, site):
    show(page, site, clock_row())
    pass_minutes(page, 74)
    arm(page)
    page.clock.run_for(2000)
    until(page, "window.rings.length === 1")
    assert page.inner_text(f"{ALARM} [data-then]").startswith("Rang 3 min late")


def test_reload_shows_the_row_and_does_not_ring_again(page, site):
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 74)
    until(page, "window.rings.length === 1")
    page.reload()
    page.wait_for_selector("[data-arm-row]:not([hidden])")
    page.click("h3")  # the first press gives the sound back
    pass_minutes(page, 80)
    page.wait_for_selector(ALARM)
    assert rings(page) == []
    assert page.inner_text(f"{ALARM} [data-then]") == "Rang 3 min late."


def test_two_tabs_ring_once(page, site):
    show(page, site, clock_row())
    arm(page)
    other = page.context.new_page()
    other.add_init_script(COUNT)
    other.clock.install(time=NOW)
    other.goto(site.origin + "/")
    other.wait_for_selector("[data-arm-row]:not([hidden])")
    arm(other)
    for tab in (page, other):
        tab.clock.fast_forward(71 * MINUTE_MS)
    for tab in (page, other):
        tab.clock.run_for(2000)
        tab.wait_for_selector(ALARM)
    assert len(rings(page) + rings(other)) == 1


def test_tab_that_wrote_first_leaves_the_ring_to_the_one_that_wrote_last(page, site):
    # both tabs looked in the same moment: another's name stands there right after ours
    page.add_init_script(
        "const set = Storage.prototype.setItem;"
        "const other = JSON.stringify({at: 0, late: 0, by: 'another'});"
        "Storage.prototype.setItem = function (key, text) {"
        "  set.call(this, key, key.startsWith('grainglass.rang.') ? other : text);"
        "};"
    )
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 71)
    page.wait_for_selector(ALARM)
    page.clock.run_for(2000)
    assert rings(page) == []


def test_row_goes_when_the_server_lists_the_clock_no_more(page, site):
    show(page, site, clock_row())
    pass_minutes(page, 71)
    page.wait_for_selector(ALARM)
    site.answers["GET /clocks/"] = lambda request: (200, listed(now=NOW), {})
    page.clock.run_for(16_000)
    page.wait_for_selector(ALARM, state="detached")
    assert "Rings" not in page.title()


def test_row_stays_while_nobody_has_seen_to_it(page, site):
    show(page, site, clock_row())
    pass_minutes(page, 71)
    page.clock.run_for(60_000)
    assert page.locator(ALARM).count() == 1


def test_settled_clock_does_not_ring(page, site):
    show(page, site, clock_row(settled_at=NOW))
    arm(page)
    pass_minutes(page, 80)
    assert page.locator(ALARM).count() == 0
    assert rings(page) == []


def test_clock_shown_twice_rings_once(page, site):
    show(page, site, clock_row(), clock_row())
    arm(page)
    pass_minutes(page, 71)
    until(page, "window.rings.length === 1")
    page.clock.run_for(3000)
    assert page.locator(ALARM).count() == 1
    assert len(rings(page)) == 1


def test_row_leads_to_the_clock(page, site):
    show(page, site, clock_row())
    pass_minutes(page, 71)
    assert page.get_attribute(f"{ALARM} a", "href") == "/clocks/cup-1/"


def test_alarms_can_be_turned_off_again(page, site):
    show(page, site, clock_row())
    arm(page)
    page.get_by_role("button", name="Turn alarms off").click()
    pass_minutes(page, 71)
    page.wait_for_selector(ALARM)
    assert rings(page) == []


def test_three_days_ring_after_three_days(page, site):
    show(page, site, clock_row(due_at=NOW + timedelta(hours=72)))
    arm(page)
    assert left(page)[0] in {"72:00", "71:59"}
    pass_minutes(page, 72 * 60)
    until(page, "window.rings.length === 1")


def test_old_rings_are_forgotten(page, site):
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 71)
    until(page, "window.rings.length === 1")
    assert len(kept(page, "grainglass.rang.")) == 1
    site.page("/", ARM, NOW + timedelta(days=40))
    page.clock.fast_forward(40 * 24 * 60 * MINUTE_MS)
    page.goto(site.origin + "/")
    page.wait_for_selector("[data-arm-row]:not([hidden])")
    assert kept(page, "grainglass.rang.") == {}


# --- what goes on counts up ---


def test_what_goes_on_counts_up_from_its_start(page, site):
    began = (NOW - timedelta(minutes=58)).isoformat()
    site.page("/", f'<p data-counts="{began}"><b data-counted>58 min</b> <u data-counted-unit></u></p>', NOW)
    page.goto(site.origin + "/")
    page.wait_for_selector("[data-counts]:has-text('58:0')")
    pass_minutes(page, 3)
    assert page.locator("[data-counts]").inner_text() == "1:01 h"


# --- notices of the system, and the screen that stays on ---

NOTICES = """window.notices = [];
Object.defineProperty(navigator, 'serviceWorker', { value: undefined });
window.Notification = class {
  static permission = 'default';
  static async requestPermission() {
    window.asked = (window.asked ?? 0) + 1;
    this.permission = ANSWER;
    return ANSWER;
  }
  constructor(title, options) { window.notices.push([title, options.tag, options.data.href]); }
};"""
LOCKS = """window.locks = 0;
Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => {
  window.locks += 1;
  const lock = new EventTarget();
  lock.release = async () => { window.locks -= 1; lock.dispatchEvent(new Event('release')); };
  return lock;
} } });"""


def test_turning_alarms_on_asks_for_notices_and_what_rings_is_told_once(page, site):
    page.add_init_script(NOTICES.replace("ANSWER", "'granted'"))
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 71)
    until(page, "window.notices.length === 1")
    assert page.evaluate("window.notices") == [
        ["Cup 1, pot life: time is up.", "cup-1.due", "/clocks/cup-1/"]
    ]
    pass_minutes(page, 1)
    assert page.evaluate("[window.notices.length, window.asked]") == [1, 1]


def test_a_phone_shows_its_notice_through_the_worker(page, site, context):
    context.grant_permissions(["notifications"])
    show(page, site, clock_row())
    arm(page)
    until(page, "navigator.serviceWorker.getRegistrations().then(all => all.some(each => each.active))")
    pass_minutes(page, 71)
    until(
        page,
        "navigator.serviceWorker.getRegistrations().then(([bell]) => bell.getNotifications())"
        ".then(all => all.length === 1 && all[0].title === 'Cup 1, pot life: time is up.')",
    )


def test_the_early_ring_is_a_notice_of_its_own(page, site):
    page.add_init_script(NOTICES.replace("ANSWER", "'granted'"))
    show(page, site, clock_row(early_at=NOW + timedelta(minutes=50)))
    arm(page)
    pass_minutes(page, 50)
    until(page, "window.notices.length === 1")
    pass_minutes(page, 21)
    until(page, "window.notices.length === 2")
    assert [tag for _, tag, _ in page.evaluate("window.notices")] == ["cup-1.early", "cup-1.due"]


def test_who_wants_no_notices_gets_none_and_hears_the_clock_all_the_same(page, site):
    page.add_init_script(NOTICES.replace("ANSWER", "'denied'"))
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 71)
    until(page, "window.rings.length === 1")
    assert page.evaluate("window.notices") == []


def test_a_ring_shakes_the_phone(page, site):
    page.add_init_script("window.shaken = []; navigator.vibrate = pattern => window.shaken.push(pattern);")
    show(page, site, clock_row())
    arm(page)
    pass_minutes(page, 71)
    until(page, "window.shaken.length === 1")
    assert page.evaluate("window.shaken[0]") == [300, 150, 300, 150, 600]


def test_what_rings_stands_in_the_title(page, site):
    show(page, site, clock_row())
    pass_minutes(page, 71)
    until(page, "document.title.startsWith('Rings: Cup 1, pot life · ')")


def test_the_screen_stays_on_while_a_cup_is_on_it(page, site):
    page.add_init_script(LOCKS)
    show(page, site, clock_row(kind="pot_life"))
    until(page, "window.locks === 1")


def test_the_screen_may_go_dark_without_a_cup(page, site):
    page.add_init_script(LOCKS)
    show(page, site, clock_row(kind="demould"))
    pass_minutes(page, 1)
    assert page.evaluate("window.locks") == 0


def test_the_screen_is_let_go_when_the_cup_leaves_the_page(page, site):
    page.add_init_script(LOCKS)
    show(page, site, clock_row(kind="pot_life"))
    until(page, "window.locks === 1")
    site.answers["GET /clocks/"] = lambda request: (200, listed(), {})
    page.clock.run_for(16_000)
    until(page, "window.locks === 0")


def test_a_page_that_comes_back_into_sight_holds_the_screen_again(page, site):
    page.add_init_script(LOCKS)
    show(page, site, clock_row(kind="pot_life"))
    until(page, "window.locks === 1")
    page.evaluate(
        """() => { window.locks = 0; const held = navigator.wakeLock;
        Object.defineProperty(document, 'visibilityState', { configurable: true, get: () => 'hidden' });
        document.dispatchEvent(new Event('visibilitychange')); }"""
    )
    assert page.evaluate("window.locks") == 0
