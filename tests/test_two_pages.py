"""Two pages of the same row, on two phones: neither puts the other's change back unseen."""

import json

import pytest
from django.urls import reverse

from projects.actions import links
from tests.factories import (
    AT,
    Bench,
    MachineFactory,
    MemberFactory,
    SpeciesFactory,
    StepFactory,
    SupplyFactory,
    WoodLotFactory,
    design,
    key,
)
from tests.projects.pages import FRAGMENT, said_at, typed_in, words_of
from workshop.forms.opened import AT_ONCE, OVERTAKEN
from workshop.models import Event, Machine

pytestmark = pytest.mark.django_db

# each page of a row: its address, a field with two new texts, another field with one
PAGES = {
    "block": ("finished_mm", "14 mm", "16 mm", "rim_mm", "7 mm"),
    "panel": ("width_mm", "540 mm", "660 mm", "height_mm", "480 mm"),
    "project": ("title", "Fanlight", "Skylight", "customer", "Wray"),
    "step": ("title", "Pour it", "Pour all", "people", "2"),
    "wait": ("closes", "12 h", "16 h", "opens", "2 h"),
    "resin": ("pot_minutes", "60 min", "70 min", "maker", "Oakmere"),
    "lot": ("place", "North wall", "South wall", "note", "knotty"),
    "opening": ("note", "dry", "damp", "condition", "fine"),
    "supply": ("name", "Wide tape", "Thin tape", "note", "the red roll"),
    "wood": ("name", "pear", "plum", "source", "from memory"),
    "machine": ("kerf_mm", "2.4 mm", "2.8 mm", "name", "the old saw"),
    "shop": ("currency", "CHF", "SEK", "name", "Tallow Barn"),
    "hours": ("monday", "08:00–12:00", "09:00–13:00", "tuesday", "10:00–14:00"),
}


class Two:
    """Ines, who looks, and Anselm, who is quicker, in one shop with a row of each kind."""

    def __init__(self, client):
        self.client = client
        self.bench = bench = Bench()
        self.ines, self.shop = bench.member, bench.shop
        self.anselm = MemberFactory(shop=self.shop, name="Anselm")
        design(self.ines, bench.project)
        self.lot = WoodLotFactory(shop=self.shop)
        self.saw = MachineFactory(shop=self.shop, kerf_mm=2.0)
        behind = StepFactory(shop=self.shop, block=bench.block, kind="other", title="Saw", position=1)
        wait = links.link(self.ines, bench.step, behind, {"close_min": 600}, at=AT)
        self.rows = {
            "block": ("projects:block", bench.project.key),
            "panel": ("projects:panel", bench.project.key),
            "project": ("projects:piece", bench.project.key),
            "step": ("projects:step-change", bench.project.key, bench.step.key),
            "wait": ("projects:step-link-change", bench.project.key, behind.key, wait.key),
            "resin": ("materials:resin", bench.resin.key),
            "lot": ("materials:lot-ticket", self.lot.key),
            "opening": ("materials:lot-open", bench.lot_a.key),
            "supply": ("materials:supply", SupplyFactory(shop=self.shop).key),
            "wood": ("materials:wood", SpeciesFactory(shop=self.shop).key),
            "machine": ("workshop:machine", self.saw.key),
            "shop": ("workshop:shop",),
            "hours": ("workshop:hours",),
        }

    def url(self, page):
        name, *args = self.rows[page]
        return reverse(name, args=[self.shop.key, *args])

    def opens(self, member, page):
        """What stands in the fields of a page, for one of the two."""
        self.client.force_login(member.user, backend="django.contrib.auth.backends.ModelBackend")
        return typed_in(self.client.get(self.url(page)))

    def presses(self, member, page, fields, **typed):
        self.client.force_login(member.user, backend="django.contrib.auth.backends.ModelBackend")
        return self.client.post(self.url(page), {**fields, "key": str(key()), **typed})

    def shown(self, page):
        return self.opens(self.ines, page)


@pytest.fixture
def two(client):
    return Two(client)


@pytest.mark.parametrize("page", PAGES)
def test_what_the_other_changed_is_asked_about_before_it_is_put_back(two, page):
    field, theirs, mine, _, _ = PAGES[page]
    opened = two.opens(two.ines, page)
    assert two.presses(two.anselm, page, opened, **{field: theirs}).status_code == 302
    answer = two.presses(two.ines, page, opened, **{field: mine})
    assert answer.status_code == 422
    assert "now; you opened this page when it was" in said_at(answer, field)
    assert "Anselm changed it at" in said_at(answer, field)
    assert typed_in(answer)[field] == mine
    assert two.shown(page)[field] == theirs


@pytest.mark.parametrize("page", PAGES)
def test_a_second_press_stores_it_all_the_same(two, page):
    field, theirs, mine, _, _ = PAGES[page]
    opened = two.opens(two.ines, page)
    two.presses(two.anselm, page, opened, **{field: theirs})
    again = typed_in(two.presses(two.ines, page, opened, **{field: mine}))
    assert two.presses(two.ines, page, again).status_code == 302
    assert two.shown(page)[field] == mine


@pytest.mark.parametrize("page", PAGES)
def test_what_nobody_touched_puts_nothing_back(two, page):
    field, theirs, _, other, mine = PAGES[page]
    opened = two.opens(two.ines, page)
    two.presses(two.anselm, page, opened, **{field: theirs})
    assert two.presses(two.ines, page, opened, **{other: mine}).status_code == 302
    shown = two.shown(page)
    assert (shown[field], shown[other]) == (theirs, mine)


@pytest.mark.parametrize("page", PAGES)
def test_a_page_that_nobody_overtook_is_stored_at_once(two, page):
    field, _, mine, _, _ = PAGES[page]
    assert two.presses(two.ines, page, two.opens(two.ines, page), **{field: mine}).status_code == 302


def test_the_sentence_names_both_figures(two):
    opened = two.opens(two.ines, "block")
    two.presses(two.anselm, "block", opened, finished_mm="14 mm")
    answer = two.presses(two.ines, "block", opened, finished_mm="16 mm")
    said = said_at(answer, "finished_mm").replace("\u00a0", " ")
    assert said.startswith("Finished thickness is 14 mm now; you opened this page when it was 10 mm.")
    assert OVERTAKEN in words_of(answer)


def test_ones_own_other_page_is_said_to_be_ones_own(two):
    opened = two.opens(two.ines, "block")
    two.presses(two.ines, "block", opened, finished_mm="14 mm")
    answer = two.presses(two.ines, "block", opened, finished_mm="16 mm")
    assert "You changed it at" in said_at(answer, "finished_mm")


def test_the_same_change_by_both_is_no_question(two):
    opened = two.opens(two.ines, "block")
    two.presses(two.anselm, "block", opened, finished_mm="14 mm")
    assert two.presses(two.ines, "block", opened, finished_mm="1.4 cm").status_code == 302


def test_a_third_change_between_the_presses_is_asked_about_too(two):
    opened = two.opens(two.ines, "block")
    two.presses(two.anselm, "block", opened, finished_mm="14 mm")
    again = typed_in(two.presses(two.ines, "block", opened, finished_mm="16 mm"))
    two.presses(two.anselm, "block", two.opens(two.anselm, "block"), finished_mm="15 mm")
    answer = two.presses(two.ines, "block", again)
    assert "is 15" in said_at(answer, "finished_mm")


def test_a_slip_beside_it_does_not_hide_the_question(two):
    """The first answer is about the slip; the figure both changed is asked about at the next press."""
    opened = two.opens(two.ines, "block")
    two.presses(two.anselm, "block", opened, finished_mm="14 mm")
    slip = two.presses(two.ines, "block", opened, finished_mm="16 mm", strip_mm="wide")
    answer = two.presses(two.ines, "block", typed_in(slip), strip_mm="2 mm")
    assert answer.status_code == 422
    assert "Anselm changed it at" in said_at(answer, "finished_mm")


def test_what_was_taken_over_is_told(two):
    opened = two.opens(two.ines, "block")
    two.presses(two.anselm, "block", opened, finished_mm="14 mm")
    two.presses(two.ines, "block", opened, rim_mm="7 mm")
    told = words_of(two.client.get(two.url("block")))
    assert "“Finished thickness” had been changed while your page was open" in told


def test_an_act_sent_again_is_answered_though_others_changed_the_row_since(two):
    opened, sent = two.opens(two.ines, "block"), str(key())
    first = {**opened, "finished_mm": "14 mm", "key": sent}
    two.client.post(two.url("block"), first)
    two.presses(two.anselm, "block", two.opens(two.anselm, "block"), finished_mm="15 mm")
    two.opens(two.ines, "block")
    assert two.client.post(two.url("block"), first).status_code == 302
    assert two.shown("block")["finished_mm"] == "15 mm"


def test_another_pattern_by_the_other_comes_with_its_sizes(two):
    """Ines only widens the panel; its new pattern has sizes that her page did not show."""
    opened = two.opens(two.ines, "panel")
    theirs = typed_in(two.client.get(two.url("panel"), {**opened, "pattern": "zigzag"}))
    assert two.presses(two.anselm, "panel", theirs).status_code == 302
    assert two.presses(two.ines, "panel", opened, width_mm="660 mm").status_code == 302
    shown = two.shown("panel")
    assert (shown["pattern"], shown["width_mm"]) == ("zigzag", "660 mm")


def test_the_live_figures_go_on_as_before(two):
    opened = two.opens(two.ines, "block")
    two.presses(two.anselm, "block", opened, finished_mm="14 mm")
    two.opens(two.ines, "block")
    fields = {name: value for name, value in opened.items() if name.endswith(("_mm", "_percent", "strips"))}
    answer = two.client.get(two.url("block"), {**fields, "finished_mm": "16 mm"}, **FRAGMENT)
    assert answer.status_code == 200
    assert "opened" not in answer.content.decode()


def test_other_units_on_screen_meanwhile_are_no_change(two):
    opened = two.opens(two.ines, "block")
    two.shop.units = "inch"
    two.shop.save()
    answer = two.presses(two.ines, "block", opened, rim_mm="7 mm")
    assert answer.status_code == 302


@pytest.mark.parametrize(
    "nonsense", ["", "[]", "{", "7", '{"finished_mm":NaN}', '{"finished_mm":[1]}', "[" * 9000]
)
def test_what_no_page_of_ours_sent_is_borne(two, nonsense):
    opened = two.opens(two.ines, "block")
    answer = two.presses(two.ines, "block", opened, finished_mm="16 mm", opened=nonsense)
    assert answer.status_code in {302, 422}


def test_a_row_that_changes_between_look_and_act_is_refused(two, monkeypatch):
    opened = two.opens(two.ines, "machine")

    def overtaken(form, member):
        Machine.objects.filter(pk=two.saw.pk).update(kerf_mm=3.0)
        return False

    monkeypatch.setattr("workshop.forms.machines.MachineForm.is_overtaken", overtaken)
    answer = two.presses(two.ines, "machine", opened, kerf_mm="2.8 mm")
    assert answer.status_code == 422
    assert AT_ONCE in words_of(answer)
    assert Machine.objects.get(pk=two.saw.pk).kerf_mm == 3.0


def test_a_change_is_told_by_history_and_not_by_the_page(two):
    """The fingerprint holds figures only; who changed them is looked up when it is asked about."""
    opened = json.loads(two.opens(two.ines, "machine")["opened"])
    assert opened == {"name": "the table saw", "kerf_mm": 2.0, "gauge_max_deg": None, "angle_error_deg": None,
                      "length_error_mm": None}  # fmt: skip
    assert not Event.objects.filter(target_key=two.saw.key).exists()
