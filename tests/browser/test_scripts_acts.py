"""An act is sent once, dated when it was pressed, and kept when nothing answers."""

import threading
import uuid

import pytest

from tests.browser.script_pages import serve, until

FORM = """
<form method="post" action="/act/" hx-post="/act/" hx-target="this" hx-swap="outerHTML" data-act>
<input type="hidden" name="key" value="{key}"><input type="hidden" name="happened_at" value="{happened_at}">
<input type="hidden" name="sent_at" value=""><div data-fault></div>
<label for="id_grams">B weighed</label><input id="id_grams" name="grams" value="{grams}" {wrong}>
<button class="btn main">Pour it</button></form>
"""
EMPTY = {"key": "made-by-the-server", "happened_at": "", "grams": "", "wrong": ""}
ROW = "[data-fault] .fault"
ANSWERED = "form:not([aria-busy])"


@pytest.fixture
def site(page):
    """A site with one act on its first page."""
    site, stop = serve()
    site.page("/", FORM.format(**EMPTY))
    yield site
    stop()


def press(page):
    page.get_by_role("button", name="Pour it").click()


def open_page(page, site):
    page.goto(site.origin + "/")
    page.wait_for_selector("form[data-act-ready]")


def send_again_with_sentence(site):
    """The server answers 422 with what it got, as the app does."""

    def reply(request):
        form = site.posted("/act/")[-1]
        values = {"key": form["key"], "happened_at": form["happened_at"], "grams": form["grams"]}
        return 422, FORM.format(**values, wrong='aria-invalid="true"'), {}

    site.answers["POST /act/"] = reply


def test_key_is_made_by_the_browser(page, site):
    site.answer("/act/", 204)
    open_page(page, site)
    press(page)
    page.wait_for_selector(ANSWERED)
    assert uuid.UUID(site.posted("/act/")[0]["key"]).version == 4


def test_key_is_made_without_a_secure_page(page, site):
    # plain http in the shop: randomUUID is missing there
    page.add_init_script("Object.defineProperty(Crypto.prototype, 'randomUUID', {value: undefined})")
    open_page(page, site)
    assert uuid.UUID(page.input_value("[name=key]")).version == 4


def test_act_is_dated_when_it_was_pressed(page, site):
    site.answer("/act/", 204)
    page.clock.install(time="2026-03-10T13:34:00Z")
    open_page(page, site)
    page.clock.fast_forward(60_000)
    press(page)
    page.wait_for_selector(ANSWERED)
    sent = site.posted("/act/")[0]
    assert sent["happened_at"].startswith("2026-03-10T13:35")
    assert sent["sent_at"] == sent["happened_at"]


def test_act_that_comes_back_keeps_its_key_and_its_first_moment(page, site):
    send_again_with_sentence(site)
    page.clock.install(time="2026-03-10T13:34:00Z")
    open_page(page, site)
    press(page)
    page.wait_for_selector("[aria-invalid]")
    page.clock.fast_forward(120_000)
    press(page)
    page.wait_for_selector(ANSWERED)
    first, second = site.posted("/act/")
    assert second["key"] == first["key"]
    assert second["happened_at"] == first["happened_at"]
    assert second["sent_at"] > first["sent_at"]


def test_act_without_answer_goes_again_with_the_same_key(page, site):
    site.cut("/act/")
    open_page(page, site)
    press(page)
    page.wait_for_selector(ROW)
    site.answer("/act/", 204)
    press(page)
    page.wait_for_selector(ROW, state="detached")
    assert len({form["key"] for form in site.posted("/act/")}) == 1


def test_accepted_act_that_stays_on_the_page_gets_a_new_key(page, site):
    site.answer("/act/", 204)
    open_page(page, site)
    for _ in range(2):
        press(page)
        page.wait_for_selector(ANSWERED)
    assert len({form["key"] for form in site.posted("/act/")}) == 2


def test_second_press_while_the_first_is_on_its_way_sends_nothing(page, site):
    wait = threading.Event()
    site.answer("/act/", 204, wait=wait)
    open_page(page, site)
    press(page)
    page.wait_for_selector("[aria-busy=true]")
    assert page.get_attribute(".btn.main", "aria-disabled") == "true"
    page.evaluate("document.querySelector('.btn.main').click()")
    wait.set()
    page.wait_for_selector(ANSWERED)
    assert len(site.posted("/act/")) == 1


def test_act_whose_answer_leads_away_can_not_be_pressed_again(page, site):
    wait = threading.Event()

    def slow_page(request):
        wait.wait(10)
        return 200, "<p>done</p>", {}

    site.answers["GET /next/"] = slow_page
    site.answer("/act/", 204, HX_Redirect="/next/")
    open_page(page, site)
    again = """new Promise(done => {
      const button = document.querySelector('.btn.main');
      document.addEventListener('htmx:afterRequest', () => { button.click(); done(); }, { once: true });
      button.click();
    })"""
    page.evaluate(again)
    wait.set()
    page.wait_for_url("**/next/")
    assert len(site.posted("/act/")) == 1


def test_plain_form_is_sent_once_too(page, site):
    plain = FORM.format(**EMPTY).replace('hx-post="/act/" hx-target="this" hx-swap="outerHTML"', "")
    site.page("/", plain)
    wait = threading.Event()
    site.answer("/act/", 303, wait=wait, Location="/next/")
    site.answers["GET /next/"] = lambda request: (200, "<p>done</p>", {})
    open_page(page, site)
    twice = """new Promise(done => {
      const button = document.querySelector('.btn.main');
      button.click();
      setTimeout(() => { button.click(); done(); }, 100);
    })"""
    page.evaluate(twice)
    wait.set()
    page.wait_for_url("**/next/")
    assert len(site.posted("/act/")) == 1


def test_newest_token_is_sent(page, site):
    site.answer("/act/", 204)
    page.context.add_cookies([{"name": "csrftoken", "value": "of-today", "url": site.origin}])
    open_page(page, site)
    press(page)
    page.wait_for_selector(ANSWERED)
    sent = [request for request in site.sent if request["path"] == "/act/"]
    assert sent[0]["headers"]["X-CSRFToken"] == "of-today"


@pytest.mark.parametrize(
    ("status", "said"),
    [
        (500, "The server could not take it."),
        (503, "The server could not take it."),
        (413, "That is more than the server takes at once."),
        (401, "You are signed out."),
        (403, "The server refused this."),
    ],
)
def test_act_that_was_not_taken_says_so_and_loses_nothing(page, site, status, said):
    site.answer("/act/", status)
    open_page(page, site)
    page.fill("#id_grams", "141.5 g")
    press(page)
    assert said in page.inner_text(ROW)
    assert page.input_value("#id_grams") == "141.5 g"
    assert page.get_attribute(".btn.main", "aria-disabled") is None


def test_act_without_answer_says_so_and_loses_nothing(page, site):
    site.cut("/act/")
    open_page(page, site)
    page.fill("#id_grams", "141.5 g")
    press(page)
    assert page.inner_text(f"{ROW} .state") == "not sent"
    assert "No answer came from the server." in page.inner_text(ROW)
    assert page.input_value("#id_grams") == "141.5 g"


def test_sign_in_page_is_not_put_into_a_form(page, site):
    site.answer("/act/", 303, Location="/sign-in/?next=/")
    site.answers["GET /sign-in/"] = lambda request: (200, "<h1>Sign in</h1>", {})
    open_page(page, site)
    page.fill("#id_grams", "141.5 g")
    press(page)
    assert "You are signed out." in page.inner_text(ROW)
    assert page.get_attribute(f"{ROW} a", "href") == "/sign-in/"
    assert page.input_value("#id_grams") == "141.5 g"


def test_poll_that_fails_says_nothing(page, site):
    site.page(
        "/",
        '<div id="clocks" hx-get="/clocks/" hx-trigger="load" hx-target="this">5:28</div>',
    )
    site.answers["GET /clocks/"] = lambda request: (500, "broken", {})
    with page.expect_response("**/clocks/"):
        page.goto(site.origin + "/")
    assert page.inner_text("#clocks") == "5:28"
    assert page.query_selector(".fault") is None


def test_chosen_photo_is_still_chosen_when_the_form_comes_back(page, site):
    photo_form = """<form hx-post="/act/" hx-encoding="multipart/form-data"
    hx-target="this" hx-swap="outerHTML" data-act><label for="id_photo">Photo</label>
    <input type="file" id="id_photo" name="photo"><input name="where" aria-label="Where" {wrong}>
    <button class="btn main">Pour it</button></form>"""
    site.page("/", photo_form.format(wrong=""))
    site.answers["POST /act/"] = lambda request: (422, photo_form.format(wrong='aria-invalid="true"'), {})
    open_page(page, site)
    page.set_input_files(
        "#id_photo", {"name": "pour.jpg", "mimeType": "image/jpeg", "buffer": b"not a photo"}
    )
    press(page)
    page.wait_for_selector("[aria-invalid]")
    until(page, "document.querySelector('#id_photo').files[0]?.name === 'pour.jpg'")


def test_first_wrong_field_gets_the_focus(page, site):
    send_again_with_sentence(site)
    open_page(page, site)
    press(page)
    page.wait_for_selector("#id_grams:focus")


def test_browser_says_its_time_zone_where_it_is_asked(page, site):
    site.page("/", '<form><input type="hidden" name="zone" data-zone></form>')
    page.goto(site.origin + "/")
    zone = page.evaluate("Intl.DateTimeFormat().resolvedOptions().timeZone")
    until(page, f"document.querySelector('[name=zone]').value === '{zone}'")


def test_work_that_takes_its_time_is_said_on_its_button(page, site):
    wait = threading.Event()
    site.page("/", FORM.format(**EMPTY).replace("btn main", 'btn main" data-working="Pouring …'))
    site.answer("/act/", 204, wait=wait)
    open_page(page, site)
    press(page)
    page.wait_for_selector("text=Pouring …")
    wait.set()
    page.wait_for_selector("text=Pour it")


QUANTITY = """
<input id="id_pot" name="pot" data-bare="min"><div id="id_pot_says"><output id="id_pot_echo"></output></div>
<input id="id_name" name="name"><output id="id_name_echo"></output>
"""


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("40", "understood 40\u00a0min"),
        (" 1,5 ", "understood 1,5\u00a0min"),
        ("1 1/2", "understood 1 1/2\u00a0min"),
        ("40 min", ""),
        ("forty", ""),
        ("", ""),
    ],
)
def test_a_bare_number_is_echoed_with_the_unit_it_is_read_in(page, site, typed, said):
    site.page("/", FORM.format(**EMPTY) + QUANTITY)
    open_page(page, site)
    page.fill("#id_pot", "7")
    page.fill("#id_pot", typed)
    assert page.text_content("#id_pot_echo") == said


def test_a_field_without_a_unit_echoes_nothing(page, site):
    site.page("/", FORM.format(**EMPTY) + QUANTITY)
    open_page(page, site)
    page.fill("#id_name", "40")
    assert page.text_content("#id_name_echo") == ""
