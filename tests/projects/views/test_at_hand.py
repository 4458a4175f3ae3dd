"""What pages of the bench say beside their acts: the mould's size, the saw's settings, what is missing."""

import pytest

from projects.checklists import CHECKS
from projects.models import LogEntry, Step
from tests.factories import (
    Bench,
    CheckItemFactory,
    NeedFactory,
    StepFactory,
    SupplyFactory,
    SupplyLotFactory,
    design,
)
from tests.projects.pages import act, at, words_of

pytestmark = pytest.mark.django_db


class Work(Bench):
    """A bench with a step of some kind."""

    def __init__(self, kind, **values):
        super().__init__()
        self.whole = StepFactory(
            shop=self.shop, block=self.block, kind=kind, title="The step", position=1, **values
        )

    def page(self, name="bench-step"):
        return at(name, self.shop, self.whole.key)

    def short(self, *names):
        """So many grams of some supplies that the shelf does not have."""
        for name in names:
            supply = SupplyFactory(shop=self.shop, name=name, unit="g")
            NeedFactory(project=self.project, supply=supply, thousandths=250_000)

    def state(self):
        return Step.objects.get(pk=self.whole.pk).state


# --- the mould ---


@pytest.mark.parametrize("name", ["bench-step", "act-mould"])
def test_the_mould_is_said_in_big_figures_beside_its_step_and_its_form(signed_in, name):
    bench = Work("mould")
    response = signed_in(bench.member).get(bench.page(name))
    said = words_of(response)
    # 50 strips of 2 mm with gaps of 2 mm are 198 mm wide and 600 mm long; the rim is 4 mm
    for words in ("608 mm Long", "206 mm Wide", "13 mm Filled to", "23 mm Walls"):
        assert words in said
    block_page = at("block-of", bench.shop, bench.project.key, bench.block.letter)
    assert f'href="{block_page}"'.encode() in response.content


def test_only_the_step_of_the_mould_says_its_size(signed_in):
    bench = Work("load")
    assert "The mould, inside" not in words_of(signed_in(bench.member).get(bench.page()))


def test_a_mould_of_no_block_has_no_size(signed_in):
    bench = Work("mould")
    Step.objects.filter(pk=bench.whole.pk).update(block=None)
    assert "The mould, inside" not in words_of(signed_in(bench.member).get(bench.page()))


# --- the saw ---


def test_a_step_at_the_saw_leads_to_its_settings(signed_in):
    bench = Work("cut")
    design(bench.member, bench.project)
    response = signed_in(bench.member).get(bench.page())
    assert (
        f'href="{at("cuts", bench.shop, bench.project.key)}">Open the saw settings'.encode()
        in response.content
    )


# --- buying ---


def test_what_is_missing_stands_where_it_is_bought(signed_in):
    bench = Work("buy")
    bench.short("Release tape", "Mixing sticks")
    said = words_of(signed_in(bench.member).get(bench.page()))
    assert "Release tape 250 g" in said
    assert "Mixing sticks 250 g" in said
    assert "The whole shelf list" in said


def test_what_is_on_the_shelf_is_not_missing(signed_in):
    bench = Work("buy")
    bench.short("Release tape")
    tape = bench.project.needs.get().supply
    SupplyLotFactory(shop=bench.shop, supply=tape, unit="g", grams=400)
    said = words_of(signed_in(bench.member).get(bench.page()))
    assert "Nothing is missing by the shelf list" in said


def test_eight_lines_are_shown_and_the_rest_counted(signed_in):
    bench = Work("buy")
    bench.short(*(f"Thing {number}" for number in range(10)))
    response = signed_in(bench.member).get(bench.page())
    assert words_of(response).count("250 g") == 8
    assert "2 more on the shelf list" in words_of(response)


def test_bought_while_lines_are_short_is_asked_about_once(signed_in):
    bench = Work("buy", state="under_way")
    bench.short("Release tape", "Mixing sticks")
    client, sent = signed_in(bench.member), act(text="")
    response = client.post(bench.page("step-done"), sent)
    assert response.status_code == 422
    assert "2 lines of the shelf list are short: Release tape; Mixing sticks." in words_of(response)
    assert bench.state() == Step.State.UNDER_WAY
    again = {**sent, "asked": "short", "why": "It is ordered"}
    assert client.post(bench.page("step-done"), again).status_code == 302
    assert bench.state() == Step.State.DONE
    assert LogEntry.objects.latest("pk").detail["all_the_same"]["why"] == "It is ordered"


def test_bought_with_nothing_short_is_done_at_once(signed_in):
    bench = Work("buy", state="under_way")
    signed_in(bench.member).post(bench.page("step-done"), act(text=""))
    assert bench.state() == Step.State.DONE


def test_the_wait_for_a_delivery_does_not_ask_what_was_bought(signed_in):
    bench = Work("buy", mode="passive")
    bench.short("Release tape")
    CheckItemFactory(step=bench.whole, text=CHECKS["buy"][0])
    CheckItemFactory(step=bench.whole, text="Ring the carrier")
    said = words_of(signed_in(bench.member).get(bench.page()))
    assert CHECKS["buy"][0] not in said
    assert "Release tape" not in said
    assert "Ring the carrier" in said
