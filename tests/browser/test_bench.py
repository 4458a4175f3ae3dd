"""The bench when things go wrong: two taps, no network, a wrong phone clock, a late ring."""

from datetime import timedelta

import pytest
from django.utils import timezone

from materials.models import Batch, Movement
from projects.actions.check import overrule
from projects.models import LogEntry, Timer
from tests.browser.walker import let_in
from tests.factories import AT, Bench, key
from workshop.acting import Moment

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def bench(transactional_db):
    """A shop with a pour at the bench; its seal coat is dry, somebody said."""
    bench = Bench()
    overrule(bench.member, bench.step, "seal_coat", "It is dry", key=key(), moment=Moment.now(AT))
    return bench


@pytest.fixture
def phone(page, context, live_server, client, bench):
    """A phone that is signed in, on the bench's page of the pour."""
    let_in(context, client, bench.member.user, live_server.url)
    page.set_viewport_size(PHONE)
    page.goto(f"{live_server.url}/s/{bench.shop.key}/bench/{bench.step.key}/")
    return page


def meet_now(bench, minutes_ago, room_c=20.0, a_g=60.0):
    """A cup whose parts met so many minutes before the server's now."""
    from projects.actions import bench as acts

    at = timezone.now() - timedelta(minutes=minutes_ago)
    return acts.parts_meet(
        bench.member,
        bench.step,
        key=key(),
        moment=Moment.now(at),
        resin=bench.resin,
        cup=bench.cup(a_g, room_c),
    )


def test_a_double_tap_mixes_one_cup(phone):
    phone.click("text=Mix a cup")
    phone.fill("#id_room_c", "20")
    phone.fill("#id_a_g", "314.5")
    phone.get_by_role("button", name="B goes in now").dblclick()
    phone.wait_for_url("**/cups/*/")
    assert Batch.objects.count() == 1


def test_a_keystroke_asks_for_figures_once(phone):
    phone.click("text=Mix a cup")
    asked = []
    phone.on("request", lambda request: "a_g=" in request.url and asked.append(request.url))
    phone.locator("#id_a_g").press("3")
    phone.wait_for_selector("#mix-b :text('follows A')")
    phone.wait_for_timeout(500)
    assert len(asked) == 1


def test_live_figures_carry_no_token_in_their_address(phone):
    phone.click("text=Mix a cup")
    with phone.expect_request(lambda request: "a_g=" in request.url) as asked:
        phone.locator("#id_a_g").press("3")
    assert "csrf" not in asked.value.url


def test_without_network_the_figures_stay_and_are_sent_once_it_is_back(phone, context):
    phone.click("text=Mix a cup")
    phone.fill("#id_room_c", "20")
    phone.fill("#id_a_g", "314.5")
    phone.wait_for_selector("#mix-b :text('follows A')")
    context.set_offline(True)
    phone.get_by_role("button", name="B goes in now").click()
    phone.wait_for_selector("[data-fault] :text('No answer came')")
    assert phone.input_value("#id_a_g") == "314.5"
    context.set_offline(False)
    phone.get_by_role("button", name="B goes in now").click()
    phone.wait_for_url("**/cups/*/")
    assert Batch.objects.count() == 1


def test_an_answer_lost_on_the_way_back_does_not_pour_twice(phone, bench):
    batch = meet_now(bench, 3)
    bench.weigh_b(batch, 27.0)
    phone.goto(phone.url + "pour/")
    lost = []

    def lose_first(route):
        if route.request.method == "POST" and not lost:
            lost.append(route.fetch())
            route.abort()
        else:
            route.continue_()

    phone.route("**/pour/", lose_first)
    phone.get_by_role("button", name="It is in the mould").click()
    phone.wait_for_selector("[data-fault] :text('No answer came')")
    phone.get_by_role("button", name="It is in the mould").click()
    phone.wait_for_url("**/photo/")
    assert len(lost) == 1
    assert LogEntry.objects.filter(kind="pour").count() == 1


def test_what_was_typed_is_back_after_the_page_was_closed(phone):
    phone.click("text=Mix a cup")
    phone.fill("#id_a_g", "298 g")
    phone.wait_for_selector("#mix-b :text('follows A')")
    phone.reload()
    assert phone.input_value("#id_a_g") == "298 g"


def test_a_wrong_figure_keeps_all_that_was_typed(phone):
    phone.click("text=Mix a cup")
    phone.fill("#id_a_g", "a lot")
    phone.fill("#id_humidity_percent", "46")
    phone.get_by_role("button", name="B goes in now").click()
    phone.wait_for_selector("#id_a_g_error:has-text('not understood')")
    assert (phone.input_value("#id_a_g"), phone.input_value("#id_humidity_percent")) == ("a lot", "46")
    assert Movement.objects.filter(kind="use").count() == 0


def test_a_phone_whose_clock_is_an_hour_fast_starts_the_right_clock(phone, bench):
    phone.clock.set_system_time(timezone.now() + timedelta(hours=1))
    phone.click("text=Mix a cup")
    phone.fill("#id_room_c", "20")
    phone.fill("#id_a_g", "314.5")
    phone.get_by_role("button", name="B goes in now").click()
    phone.wait_for_url("**/cups/*/")
    entry = LogEntry.objects.get(kind="mix")
    assert abs((entry.happened_at - entry.received_at).total_seconds()) < 5
    assert (entry.raw_happened_at - entry.received_at).total_seconds() > 3500


def test_a_clock_that_ran_out_while_nobody_looked_says_how_late_it_rings(phone, bench):
    batch = meet_now(bench, 0)
    late_by = timedelta(minutes=3, seconds=20)
    Timer.objects.filter(batch=batch).update(
        started_at=timezone.now() - timedelta(hours=2),
        early_at=timezone.now() - timedelta(hours=1),
        due_at=timezone.now() - late_by,
    )
    phone.reload()
    phone.wait_for_selector("#alarms :text('3 min late')")
    assert "Cup 1" in phone.inner_text("#alarms")


COUNT_RINGS = """document.addEventListener("grainglass:ring", () =>
  sessionStorage.setItem("rings", String(1 + Number(sessionStorage.getItem("rings")))))"""


def rings(phone):
    return int(phone.evaluate("sessionStorage.getItem('rings')") or 0)


def test_a_clock_rings_once_though_the_page_is_loaded_again(phone, bench):
    batch = meet_now(bench, 0)
    soon = timezone.now() + timedelta(seconds=6)
    Timer.objects.filter(batch=batch).update(early_at=soon, due_at=soon)
    phone.add_init_script(COUNT_RINGS)
    phone.reload()
    phone.click("text=Turn alarms on")
    phone.wait_for_selector("#alarms :text('time is up')")
    phone.wait_for_timeout(1500)
    assert rings(phone) == 1
    phone.reload()
    phone.locator("h1").click()  # a press gives sound back after a reload
    phone.wait_for_selector("#alarms .alarm")
    phone.wait_for_timeout(2500)
    assert rings(phone) == 1


def test_a_settled_clock_stops_asking_on_another_page(phone, bench, live_server):
    meet_now(bench, 400)
    phone.goto(f"{live_server.url}/s/{bench.shop.key}/shelf/")
    phone.wait_for_selector("#alarms .alarm")
    phone.click("#alarms .alarm a")
    phone.wait_for_url("**/clocks/*/")
    phone.click("text=It went off in the cup")
    phone.wait_for_url("**/now/")
    phone.goto(f"{live_server.url}/s/{bench.shop.key}/shelf/")
    phone.wait_for_timeout(800)
    assert phone.locator("#alarms .alarm").count() == 0


def test_after_a_refused_figure_the_act_can_be_pressed_again(phone):
    phone.click("text=Mix a cup")
    phone.fill("#id_a_g", "a lot")
    phone.get_by_role("button", name="B goes in now").click()
    phone.wait_for_selector("#id_a_g_error:has-text('not understood')")
    phone.fill("#id_room_c", "20")
    phone.fill("#id_a_g", "314.5")
    assert phone.locator(".field.bad").count() == 0
    phone.get_by_role("button", name="B goes in now").click()
    phone.wait_for_url("**/cups/*/")
