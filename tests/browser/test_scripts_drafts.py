"""What somebody typed is there again, for them only, until the server took it."""

import pytest

from tests.browser.script_pages import kept, serve, until

FIELDS = """<div data-fault></div>
<label for="id_where">Where</label><input id="id_where" name="where" value="{where}" {wrong}>
<label for="id_text">What</label><textarea id="id_text" name="text"></textarea>
<label><input type="checkbox" name="hard" value="yes">hard</label>
<label><input type="radio" name="paper" value="a4" checked>A4</label>
<label><input type="radio" name="paper" value="letter">Letter</label>
<label for="id_lot">Bottle</label>
<select id="id_lot" name="lot"><option value="1">A-01<option value="2">A-02</select>
<label for="id_secret">Secret</label><input id="id_secret" type="password" name="secret">
<input type="hidden" name="key" value="k"><button class="btn main">Keep it</button></form>"""
PLAIN = '<form method="post" action="/act/" data-draft="failure">' + FIELDS
LIVE = '<form data-draft="failure" hx-post="/act/" hx-target="this" hx-swap="outerHTML">' + FIELDS
FIGURES = """<form data-draft="block" hx-get="/figures/" hx-trigger="input" hx-target="#figures">
<div id="figures"></div>"""
LINE = ".kept"
MINE = "grainglass.draft.7.failure"


@pytest.fixture
def site(page):
    """A site whose first page has a form that keeps drafts."""
    site, stop = serve()
    show(site, LIVE)
    yield site
    stop()


def show(site, form, path="/", where="", wrong=""):
    site.page(path, form.format(where=where, wrong=wrong))


def open_page(page, site, path="/"):
    page.goto(site.origin + path)
    page.wait_for_selector("form[data-draft-ready]")


def type_all(page):
    page.fill("#id_where", "left third")
    page.fill("#id_text", "bubbles")
    page.check("[name=hard]")
    page.check("[value=letter]")
    page.select_option("#id_lot", "2")
    page.fill("#id_secret", "bog-oak")


def press(page):
    page.get_by_role("button", name="Keep it").click()


def test_what_an_address_carries_is_newer_than_a_draft(page, site):
    open_page(page, site)
    type_all(page)
    show(site, LIVE.replace("data-draft=", "data-draft-newer data-draft="), path="/taken/", where="offered")
    open_page(page, site, "/taken/")
    assert page.input_value("#id_where") == "offered"
    show(site, LIVE)
    open_page(page, site)
    assert page.input_value("#id_where") == "offered"


def test_what_was_typed_is_back_after_a_reload(page, site):
    open_page(page, site)
    type_all(page)
    page.reload()
    assert "What you typed is back." in page.inner_text(LINE)
    assert page.input_value("#id_where") == "left third"
    assert page.input_value("#id_text") == "bubbles"
    assert page.is_checked("[name=hard]")
    assert page.is_checked("[value=letter]")
    assert page.input_value("#id_lot") == "2"


def test_password_and_hidden_values_are_never_kept(page, site):
    open_page(page, site)
    type_all(page)
    assert set(kept(page, MINE)[MINE]["values"]) == {"where", "text", "hard", "paper", "lot"}


def test_untouched_form_says_nothing(page, site):
    open_page(page, site)
    page.reload()
    page.wait_for_selector("form[data-draft-ready]")
    assert page.query_selector(LINE) is None


def test_draft_can_be_cleared(page, site):
    open_page(page, site)
    type_all(page)
    page.reload()
    page.get_by_role("button", name="Clear it").click()
    assert page.input_value("#id_where") == ""
    assert page.is_checked("[value=a4]")
    assert page.query_selector(LINE) is None
    assert kept(page, MINE) == {}


def test_draft_goes_when_the_server_took_it(page, site):
    site.answer("/act/", 204)
    open_page(page, site)
    type_all(page)
    press(page)
    until(page, "localStorage.length === 0")
    assert kept(page, MINE) == {}


@pytest.mark.parametrize("status", [422, 500])
def test_draft_stays_when_the_server_did_not_take_it(page, site, status):
    body = LIVE.format(where="left third", wrong='aria-invalid="true"')
    site.answer("/act/", status, body)
    open_page(page, site)
    page.fill("#id_where", "left third")
    with page.expect_response("**/act/"):
        press(page)
    page.wait_for_selector(".fault, [aria-invalid]")
    assert kept(page, MINE)[MINE]["values"]["where"] == ["left third"]


def test_draft_stays_when_nothing_answers(page, site):
    site.cut("/act/")
    open_page(page, site)
    page.fill("#id_where", "left third")
    press(page)
    page.wait_for_selector(".fault")
    assert kept(page, MINE)[MINE]["values"]["where"] == ["left third"]


def test_live_figure_does_not_count_as_sent(page, site):
    show(site, FIGURES + FIELDS)
    site.answers["GET /figures/"] = lambda request: (200, "1135 g", {})
    open_page(page, site)
    page.fill("#id_where", "left third")
    page.wait_for_selector("#figures:has-text('1135')")
    assert "grainglass.draft.7.block" in kept(page, "grainglass.draft.")


def test_live_figures_follow_what_is_put_back(page, site):
    show(site, FIGURES + FIELDS)
    site.answers["GET /figures/"] = lambda request: (200, "1135 g", {})
    open_page(page, site)
    page.fill("#id_where", "left third")
    page.reload()
    page.wait_for_selector("#figures:has-text('1135')")
    assert page.input_value("#id_where") == "left third"


def test_draft_of_a_plain_form_goes_when_the_next_page_comes(page, site):
    show(site, PLAIN)
    site.answer("/act/", 303, Location="/done/")
    site.page("/done/", "<h1>Kept</h1>")
    open_page(page, site)
    page.fill("#id_where", "left third")
    press(page)
    page.wait_for_selector("h1:has-text('Kept')")
    until(page, "localStorage.length === 0")
    assert kept(page, "grainglass.draft.") == {}


def test_draft_of_a_plain_form_stays_when_it_comes_back_with_a_sentence(page, site):
    show(site, PLAIN)
    again = site.frame(PLAIN.format(where="left third", wrong='aria-invalid="true"'), None)
    site.answer("/act/", 422, again)
    open_page(page, site)
    page.fill("#id_where", "left third")
    press(page)
    page.wait_for_selector("[data-draft-ready] [aria-invalid]")
    assert kept(page, MINE)[MINE]["values"]["where"] == ["left third"]


def test_draft_of_a_plain_form_stays_when_the_program_broke(page, site):
    show(site, PLAIN)
    site.answer("/act/", 500, site.frame("<h1>Broke</h1>", None).replace("<body", "<body data-refused", 1))
    open_page(page, site)
    page.fill("#id_where", "left third")
    press(page)
    page.wait_for_selector("h1:has-text('Broke')")
    page.wait_for_load_state("load")
    assert kept(page, MINE)[MINE]["values"]["where"] == ["left third"]


def test_draft_of_a_plain_form_stays_when_nothing_answered(page, site):
    show(site, PLAIN)
    site.cut("/act/")
    open_page(page, site)
    page.fill("#id_where", "left third")
    press(page)
    page.wait_for_timeout(300)
    page.goto(site.origin + "/")
    page.wait_for_selector(LINE)
    assert page.input_value("#id_where") == "left third"


def test_somebody_else_does_not_find_it(page, site):
    open_page(page, site)
    page.fill("#id_where", "left third")
    site.user = 8
    page.reload()
    page.wait_for_selector("form[data-draft-ready]")
    assert page.input_value("#id_where") == ""
    assert kept(page, "grainglass.draft.") == {}


def test_old_draft_is_forgotten(page, site):
    open_page(page, site)
    page.fill("#id_where", "left third")
    page.clock.install()
    page.clock.fast_forward(15 * 24 * 3600 * 1000)
    page.reload()
    page.wait_for_selector("form[data-draft-ready]")
    assert page.input_value("#id_where") == ""


def test_page_works_where_the_browser_keeps_nothing(page, site):
    broken = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('switched off'); }})"
    page.add_init_script(broken)
    site.answer("/act/", 204)
    open_page(page, site)
    page.fill("#id_where", "left third")
    with page.expect_response("**/act/"):
        press(page)
    assert site.posted("/act/")[0]["where"] == "left third"


def test_a_draft_brings_along_what_its_page_was_opened_with(page, site):
    """Typed against the figures of yesterday: the server must see that, and not the figures of today."""
    opened = '<input type="hidden" name="opened" value="{}" data-opened>'
    show(site, LIVE.replace("</form>", opened.replace("{}", "yesterday") + "</form>"))
    open_page(page, site)
    page.fill("#id_where", "left third")
    show(site, LIVE.replace("</form>", opened.replace("{}", "today") + "</form>"))
    open_page(page, site)
    assert page.input_value("#id_where") == "left third"
    assert page.evaluate("document.querySelector('[data-opened]').value") == "yesterday"


def test_a_draft_that_is_cleared_leaves_what_the_page_was_opened_with(page, site):
    opened = '<input type="hidden" name="opened" value="{}" data-opened>'
    show(site, LIVE.replace("</form>", opened.replace("{}", "yesterday") + "</form>"))
    open_page(page, site)
    page.fill("#id_where", "left third")
    show(site, LIVE.replace("</form>", opened.replace("{}", "today") + "</form>"))
    open_page(page, site)
    page.click(f"{LINE} [data-clear]")
    assert page.evaluate("document.querySelector('[data-opened]').value") == "today"
