"""The pages of the acts: what stands in their fields, what they store, what they say about bad input.

Who may come, wrong methods and rows that are not there are walked in test_addresses.py.
"""

import pytest
from django.utils import timezone

from materials.models import Reading
from projects.actions import coat, glue, mould, seal, strips
from projects.models import Block, LogEntry, Step, Timer
from tests.factories import (
    Bench,
    BundleFactory,
    FinishFactory,
    MachineFactory,
    StepFactory,
    TinFactory,
    key,
    moment,
)
from tests.projects.pages import FRAGMENT, act, ago, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db

KINDS = {
    "strips": "load",
    "seal": "seal",
    "mould": "mould",
    "demould": "demould",
    "glue-up": "glue_up",
    "coat": "coat",
}


class At(Bench):
    """A shop with one step at which one act is done."""

    def __init__(self, act, **more):
        super().__init__()
        self.act = act
        self.the_step = StepFactory(
            shop=self.shop, block=self.block, kind=KINDS[act], title="The step", **more
        )
        if act == "demould":
            self.weigh_b(self.meet())
            self.pour()

    @property
    def page(self):
        return at(f"act-{self.act}", self.shop, self.the_step.key)

    def state(self):
        return Step.objects.get(pk=self.the_step.pk).state


@pytest.mark.parametrize("name", KINDS)
def test_an_act_of_another_kind_of_step_is_no_page(signed_in, name):
    bench = At(name)
    page = at(f"act-{name}", bench.shop, bench.step.key)  # that step is a pour
    assert signed_in(bench.member).get(page).status_code == 404


@pytest.mark.parametrize("name", KINDS)
def test_a_step_taken_out_of_the_route_has_no_acts(signed_in, name):
    bench = At(name, removed_at=timezone.now())
    assert signed_in(bench.member).get(bench.page).status_code == 404


@pytest.mark.parametrize("name", KINDS)
def test_an_act_opens_without_a_block_too(signed_in, name):
    bench = At(name)
    type(bench.the_step).objects.filter(pk=bench.the_step.pk).update(block=None)
    assert signed_in(bench.member).get(bench.page).status_code == 200


# --- strips ---


def test_the_strips_that_are_not_in_yet_stand_in_the_field(signed_in):
    bench = At("strips")
    strips.load_strips(bench.member, bench.the_step, {"count": 20, "done": False}, key=key(), moment=moment())
    assert typed_in(signed_in(bench.member).get(bench.page))["count"] == "30"  # of 50


def test_that_all_strips_are_held_down_is_for_the_maker_to_tick(signed_in):
    bench = At("strips")
    assert "done" not in typed_in(signed_in(bench.member).get(bench.page))


def test_strips_on_a_coat_that_is_wet_are_asked_about_though_its_step_was_called_done(signed_in):
    bench = At("strips")
    sealing = StepFactory(shop=bench.shop, block=bench.block, kind="seal", title="Seal them")
    values = {"coat": 1, "open_h": 4.0, "close_h": 14.0, "done": False}
    seal.seal_coat(bench.member, sealing, values, key=key(), moment=ago(20))
    client = signed_in(bench.member)
    client.post(at("step-done", bench.shop, sealing.key), act(text=""))
    response = client.post(bench.page, act(count="50"))
    assert response.status_code == 422
    assert "The seal coat can be handled from" in words_of(response)


def test_the_bundle_that_fits_the_block_is_chosen(signed_in):
    bench = At("strips")
    BundleFactory(shop=bench.shop, thickness_mm=3)
    fits = BundleFactory(shop=bench.shop, thickness_mm=2)
    Block.objects.update(species=fits.species)
    assert typed_in(signed_in(bench.member).get(bench.page))["lot"] == str(fits.key)


def test_a_bundle_is_offered_with_what_is_left_of_it(signed_in):
    bench = At("strips")
    bundle = BundleFactory(shop=bench.shop)
    page = signed_in(bench.member).get(bench.page).content.decode()
    assert f"{bundle.code}, {bundle.species}, 60 strips left" in page


def test_strips_that_are_in_are_stored_and_lead_back_to_the_step(signed_in):
    bench = At("strips")
    bundle = BundleFactory(shop=bench.shop)
    sent = act(count="50", lot=str(bundle.key), text="Two spare", done="on")
    response = signed_in(bench.member).post(bench.page, sent)
    assert response["Location"] == at("bench-step", bench.shop, bench.the_step.key)
    assert (bundle.on_hand, bench.state()) == (10, Step.State.DONE)


def test_strips_sent_twice_are_stored_once(signed_in):
    bench, client = At("strips"), None
    client, sent = signed_in(bench.member), act(count="50")
    for _ in range(2):
        assert client.post(bench.page, sent).status_code == 302
    assert LogEntry.objects.filter(kind="strips").count() == 1


def test_a_number_of_strips_that_is_none_keeps_what_was_typed(signed_in):
    bench = At("strips")
    response = signed_in(bench.member).post(bench.page, act(count="some", text="Two spare"))
    assert response.status_code == 422
    assert "is not understood" in said_at(response, "count")
    assert typed_in(response)["text"] == "Two spare"


def test_the_bundle_of_another_shop_is_refused(signed_in):
    bench = At("strips")
    response = signed_in(bench.member).post(bench.page, act(count="5", lot=str(BundleFactory().key)))
    assert response.status_code == 422
    assert not LogEntry.objects.filter(kind="strips").exists()


# --- seal coat ---


def seal_once(bench, minutes_ago=60):
    values = {"resin": bench.resin, "coat": 1, "temp_c": 25.0, "open_h": 4.0, "close_h": 14.0}
    return seal.seal_coat(bench.member, bench.the_step, values, key=key(), moment=ago(minutes_ago))


SEAL = {"coat": "1", "temp_c": "20", "humidity_percent": "45", "steady_or_falling": "yes"}


def test_a_seal_coat_begins_with_the_hours_of_the_blocks_resin(signed_in):
    bench = At("seal")
    fields = typed_in(signed_in(bench.member).get(bench.page))
    assert (fields["coat"], fields["open_h"], fields["close_h"]) == ("1", "4 h", "14 h")
    assert fields["resin"] == str(bench.resin.pk)


def test_whether_the_shop_warms_up_is_for_the_maker_to_say(signed_in):
    bench = At("seal")
    assert "steady_or_falling" not in typed_in(signed_in(bench.member).get(bench.page))
    response = signed_in(bench.member).post(bench.page, act(**{**SEAL, "steady_or_falling": ""}))
    assert said_at(response, "steady_or_falling") == "This field is required."


def test_a_seal_coat_is_stored_with_its_window(signed_in):
    bench = At("seal")
    sent = act(**SEAL, resin=str(bench.resin.pk), open_h="4 h", close_h="14 h", done="on")
    assert signed_in(bench.member).post(bench.page, sent).status_code == 302
    assert Timer.objects.get().kind == Timer.Kind.TACK
    assert LogEntry.objects.get().detail["steady_or_falling"] is True
    assert bench.state() == Step.State.WAITING


@pytest.mark.parametrize(
    ("hours", "field", "sentence"),
    [
        ({"open_h": "4", "close_h": "4"}, "close_h", "must be later"),
        ({"open_h": "", "close_h": "4"}, "open_h", "From when on"),
    ],
)
def test_a_window_that_is_none_says_so(signed_in, hours, field, sentence):
    bench = At("seal")
    response = signed_in(bench.member).post(bench.page, act(**SEAL, **hours))
    assert response.status_code == 422
    assert sentence in said_at(response, field)


def test_a_coat_too_soon_is_said_not_refused(signed_in):
    bench = At("seal")
    seal_once(bench)
    words = words_of(signed_in(bench.member).get(bench.page))
    assert "look first The last coat takes another from" in words
    client, sent = signed_in(bench.member), act(**SEAL)
    assert client.post(bench.page, sent).status_code == 422
    assert client.post(bench.page, {**sent, "asked": "tack_soon", "why": "It is firm"}).status_code == 302


def test_a_coat_too_late_says_to_scuff_first(signed_in):
    bench = At("seal")
    seal_once(bench, minutes_ago=15 * 60)
    assert "Scuff it first: grey pad or P320" in words_of(signed_in(bench.member).get(bench.page))


# --- mould ---


def test_what_was_done_at_the_mould_stays_ticked(signed_in):
    bench = At("mould")
    mould.build_mould(
        bench.member, bench.the_step, {"taped": True, "sealed": True}, key=key(), moment=moment()
    )
    fields = typed_in(signed_in(bench.member).get(bench.page))
    assert {name for name in ("taped", "sealed", "level", "tested_empty") if name in fields} == {
        "taped",
        "sealed",
    }


def test_only_moulds_in_use_are_offered(signed_in):
    bench = At("mould")
    MachineFactory(shop=bench.shop, kind="mould", name="Long mould")
    MachineFactory(shop=bench.shop, kind="mould", name="Gone mould", retired_at=timezone.now())
    MachineFactory(shop=bench.shop, kind="saw", name="Table saw")
    words = words_of(signed_in(bench.member).get(bench.page))
    assert "Long mould" in words
    assert "Gone mould" not in words
    assert "Table saw" not in words


def test_a_mould_is_stored_with_its_sealants_clock(signed_in):
    bench = At("mould")
    signed_in(bench.member).post(bench.page, act(taped="on", sealed="on", sealant_h="12 h"))
    assert LogEntry.objects.get().text == "Mould: taped, sealed"
    assert Timer.objects.get().kind == Timer.Kind.SEALANT


def test_a_mould_at_which_nothing_was_done_is_asked_again(signed_in):
    bench = At("mould")
    response = signed_in(bench.member).post(bench.page, act())
    assert response.status_code == 422
    assert "Tick what was done at the mould." in words_of(response)


# --- glue-up ---


def test_a_glue_up_begins_with_the_times_of_the_last_one(signed_in):
    bench = At("glue-up")
    glue.glue_up(
        bench.member, bench.the_step, {"open_min": 40.0, "clamped_h": 12.0}, key=key(), moment=moment()
    )
    fields = typed_in(signed_in(bench.member).get(bench.page))
    assert (fields["open_min"], fields["clamped_h"]) == ("40 min", "12 h")


def test_a_glue_up_is_stored_with_both_clocks(signed_in):
    bench = At("glue-up")
    sent = act(part="left half", pieces="12", open_min="40", clamped_h="12", temp_c="19", done="on")
    signed_in(bench.member).post(bench.page, sent)
    assert {timer.kind for timer in Timer.objects.all()} == {"glue", "clamped"}
    assert LogEntry.objects.get().text == "Glued up: left half, 12 pieces"


# --- coat ---


def test_a_coat_begins_with_what_went_on_last(signed_in):
    bench = At("coat")
    tin = TinFactory(shop=bench.shop)
    values = {"supply": tin.supply, "lot": tin, "number": 1, "area_mm2": 240_000.0}
    coat.put_coat(bench.member, bench.the_step, values, key=key(), moment=moment())
    fields = typed_in(signed_in(bench.member).get(bench.page))
    assert (fields["number"], fields["supply"], fields["lot"], fields["area_m2"]) == (
        "2",
        str(tin.supply.key),
        str(tin.key),
        "0.24 m²",
    )


def test_a_coat_is_stored_and_leaves_its_tin(signed_in):
    bench = At("coat")
    tin = TinFactory(shop=bench.shop)
    sent = act(
        number="1", supply=str(tin.supply.key), lot=str(tin.key), amount_ml="25", area_m2="0.24", temp_c="20"
    )
    assert signed_in(bench.member).post(bench.page, sent).status_code == 302
    assert tin.on_hand == 975
    assert LogEntry.objects.get().detail["area_mm2"] == pytest.approx(240_000)


def test_millilitres_out_of_a_tin_kept_in_grams_are_asked_again(signed_in):
    bench = At("coat")
    tin = TinFactory(shop=bench.shop, unit="g")
    response = signed_in(bench.member).post(
        bench.page, act(number="1", lot=str(tin.key), amount_ml="25", temp_c="20")
    )
    assert response.status_code == 422
    assert "is kept in g, so millilitres can’t be taken from it" in said_at(response, "amount_ml")


def test_a_coat_warns_of_oily_rags(signed_in):
    bench = At("coat")
    assert "Rags with oil can catch fire by themselves." in words_of(signed_in(bench.member).get(bench.page))


def test_a_key_of_a_finish_that_is_none_is_no_fault_of_the_server(signed_in):
    bench = At("coat")
    FinishFactory(shop=bench.shop)
    response = signed_in(bench.member).post(bench.page, act(number="1", supply="7", temp_c="20"))
    assert response.status_code == 422


# --- out of the mould ---


def test_the_plan_stands_at_each_measure(signed_in):
    bench = At("demould")
    words = words_of(signed_in(bench.member).get(bench.page))
    assert all(f"planned {figure}\u00a0mm".replace("\u00a0", " ") in words for figure in ("600", "198", "13"))


def test_as_one_types_the_difference_is_told(signed_in):
    bench = At("demould")
    response = signed_in(bench.member).get(bench.page, {"width_mm": "199.4", "depth_mm": ""}, **FRAGMENT)
    words = words_of(response)
    assert "Width across the strips 198 mm 199.4 mm +1.4 mm" in words
    assert "Depth" not in words
    assert b"<html" not in response.content


def test_measures_are_stored_beside_the_plan(signed_in):
    bench = At("demould")
    sent = act(length_mm="598", width_mm="", hardness="72", done="on")
    assert signed_in(bench.member).post(bench.page, sent).status_code == 302
    assert Block.objects.get().measured["length_mm"] == {"planned": 600.0, "measured": 598.0}
    assert {row.kind for row in Reading.objects.filter(batch=None)} == {"length", "hardness"}


def test_measures_of_before_are_shown_when_the_page_is_opened_again(signed_in):
    bench = At("demould")
    client = signed_in(bench.member)
    client.post(bench.page, act(length_mm="598"))
    assert "Length along the strips 600 mm 598 mm −2 mm" in words_of(client.get(bench.page))


def test_a_hardness_off_the_scale_is_asked_again(signed_in):
    bench = At("demould")
    response = signed_in(bench.member).post(bench.page, act(hardness="720"))
    assert said_at(response, "hardness") == "720 is too much: 100 or less."


def test_pieces_that_are_not_ticked_ask_for_a_reason_before_the_glue(client, monkeypatch):
    bench = Bench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="glue_up", title="Glue up")
    client.force_login(bench.member.user)
    monkeypatch.setattr("projects.against.dry_fit.unticked", lambda project: [3, 4])
    page, sent = at("act-glue-up", bench.shop, step.key), act(part="row 1", pieces="12", temp_c="20")
    response = client.post(page, sent)
    assert response.status_code == 422
    assert "2 pieces of the panel are not ticked on the map" in words_of(response)
    client.post(page, {**sent, "asked": "unticked", "why": "They come later"})
    kept = LogEntry.objects.get(kind="glue_up").detail["all_the_same"]
    assert kept == {"why": "They come later", "against": ["2 pieces not ticked"]}
