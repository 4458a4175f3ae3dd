import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from materials.models import Reading
from projects.models import LogEntry, Overrule
from tests.factories import Bench, MemberFactory, StepFactory
from tests.materials.fit.room import fitted
from tests.projects.check.room import CheckedBench
from tests.projects.pages import FRAGMENT, act, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db

TYPED = {
    "shop_c": "25 °C", "humidity_percent": "45 %", "depth_mm": "40 mm", "lifts": "1", "cups": "2",
    "mix_fill_min": "20 min", "surface_c": "", "night_c": "18 °C", "weakest": "combs", "weakest_c": "60 °C",
    "board": "mdf", "board_mm": "18 mm", "mould_checks": ["taped", "sealed"], "combs_at_ends": "yes",
    "comb_spacing_mm": "60 mm", "hold_down_g": "2 kg", "fill_from": "above",
    "strip_moisture_percent": "7.2 %", "service_percent": "7 %", "tint_percent": "0 %",
}  # fmt: skip

WRONG = [
    ("shop_c", "", "This field is required."),
    ("shop_c", "warm", "is not understood"),
    ("shop_c", "200", "200 °C is too much: 60 °C or less."),
    ("humidity_percent", "0", "0 % is too little: 1 % or more."),
    ("depth_mm", "0", "More than 0 mm is needed."),
    ("depth_mm", "-4", "More than 0 mm is needed."),
    ("depth_mm", "9 kg", "“kg” is no unit for this."),
    ("cups", "0", "0 is too little: 1 or more."),
    ("lifts", "1.5", "A whole number is needed."),
    ("weakest_c", "5", "5 °C is too little: 30 °C or more."),
    ("board", "lead", "Select a valid choice."),
    ("resin", "nonsense", "Select a valid choice."),
]


@pytest.fixture
def bench(client):
    made = CheckedBench()
    client.force_login(made.member.user)
    return made


def page(bench):
    return at("check", bench.shop, bench.step.key)


def typed(bench, **changed):
    return {**TYPED, "resin": str(bench.resin.pk), **changed}


def test_the_check_opens_with_guesses_and_says_what_is_not_known(client, bench):
    words = words_of(client.get(page(bench)))
    assert "Pour check" in words
    assert "Read the hygrometer." in words
    assert "How warm it gets inside" in words


def test_a_figure_typed_brings_the_findings_as_a_fragment(client, bench):
    response = client.get(page(bench), typed(bench, shop_c="5"), **FRAGMENT)
    words = words_of(response)
    assert "<html" not in response.content.decode()
    assert "Too cold: the cure may stall." in words


def test_a_comma_is_a_decimal_point(client, bench):
    response = client.get(page(bench), typed(bench, shop_c="19,5"))
    assert response.context["answers"]["shop_c"] == 19.5


@pytest.mark.parametrize(("field", "text", "sentence"), WRONG)
def test_a_wrong_figure_is_said_at_its_field_and_nothing_typed_is_lost(client, bench, field, text, sentence):
    response = client.post(page(bench), act(**typed(bench, **{field: text})))
    assert response.status_code == 422
    assert sentence in said_at(response, field).replace("\u00a0", " ")
    assert typed_in(response)["depth_mm"] == (text if field == "depth_mm" else "40 mm")
    assert not LogEntry.objects.filter(kind="check").exists()


def test_a_kept_check_is_in_the_log_with_its_answers_and_readings(client, bench):
    client.post(page(bench), act(**typed(bench)))
    entry = LogEntry.objects.get(kind="check")
    assert entry.detail["answers"]["hold_down_g"] == 2000
    assert {reading.kind for reading in entry.readings.all()} == {"temperature", "humidity"}
    assert Reading.objects.of(bench.shop).latest_of("temperature").value == 25
    assert entry.detail["verdict"] == "stop"  # nobody sealed the strips


def test_the_next_check_begins_with_the_answers_of_the_last(client, bench):
    client.post(page(bench), act(**typed(bench, comb_spacing_mm="45 mm")))
    response = client.get(page(bench))
    assert typed_in(response)["comb_spacing_mm"] == "45 mm"
    assert "Has anything changed?" in words_of(response)


def test_sent_twice_a_check_is_kept_once(client, bench):
    data = act(**typed(bench))
    for _ in range(2):
        client.post(page(bench), data)
    assert LogEntry.objects.filter(kind="check").count() == 1


def overrule(client, bench, code="seal_coat", **typed):
    return client.post(at("overrule", bench.shop, bench.step.key, code), act(**typed))


def test_a_stop_is_overruled_with_a_reason_that_stays_on_the_page(client, bench):
    overrule(client, bench, why="It is dry to the touch")
    assert Overrule.objects.get().reason == "It is dry to the touch"
    words = words_of(client.get(page(bench)))
    assert "Overruled by Ines" in words
    assert "One stop overruled" in words
    assert LogEntry.objects.filter(kind="overrule").count() == 1


def test_a_reason_of_one_s_own_goes_with_the_chosen_one(client, bench):
    overrule(client, bench, why="It is dry to the touch", words="tried with a finger")
    assert Overrule.objects.get().reason == "It is dry to the touch. tried with a finger"


@pytest.mark.parametrize("typed", [{}, {"why": "Another reason"}, {"words": " "}])
def test_without_a_reason_nothing_is_overruled(client, bench, typed):
    response = overrule(client, bench, **typed)
    assert response.status_code == 422
    assert "Choose why, or say it in your words" in words_of(response)
    assert not Overrule.objects.exists()


def test_no_other_word_is_a_finding(client, bench):
    assert overrule(client, bench, code="nonsense", words="x").status_code == 404


def test_a_step_before_which_nothing_is_mixed_has_no_check(client, bench):
    step = StepFactory(shop=bench.shop, block=bench.block, kind="cut", title="Cut")
    assert client.get(at("check", bench.shop, step.key)).status_code == 404


@pytest.mark.parametrize("kind", ["seal", "glue_up"])
def test_a_seal_coat_and_a_glue_up_are_checked_too(client, bench, kind):
    step = StepFactory(shop=bench.shop, block=bench.block, kind=kind, title="Film")
    response = client.get(at("check", bench.shop, step.key))
    assert response.status_code == 200
    assert "Mould" not in [row.name for row in response.context["fine"]]


def test_a_block_without_a_resin_says_so(client):
    bench = Bench()
    bench.block.resin = None
    bench.block.save()
    client.force_login(bench.member.user)
    assert "Choose a resin, then the heat can be reckoned." in words_of(client.get(page(bench)))


def test_a_resin_without_a_cup_test_says_to_plan_by_the_safe_side(client, bench):
    assert "Until a cup of this resin was read with a thermometer" in words_of(client.get(page(bench)))


def test_forecasts_say_which_cup_test_they_rest_on(client, bench):
    fitted(bench.resin)
    said = words_of(client.get(page(bench)))
    assert "This rests on a cup test of 10 March 2026 (100 g at 25 °C)." in said
    assert "Until a cup" not in said


@pytest.fixture
def over(bench, client):
    """A pour that is done, with a check kept before it that said stop."""
    client.post(page(bench), act(**typed(bench)))
    bench.step.state = "done"
    bench.step.save()
    return bench


def test_after_a_pour_its_stop_is_told_as_it_was_then(client, over):
    response = client.get(at("bench-step", over.shop, over.step.key))
    words = words_of(response)
    assert f"by {over.member.name} said: one stop, " in words
    assert 'class="row checked"' not in response.content.decode()
    assert "Check again" not in words


def test_a_step_of_another_kind_tells_its_check_as_it_was_then_too(client, over):
    over.step.kind = "seal"
    over.step.save()
    words = words_of(client.get(at("bench-step", over.shop, over.step.key)))
    assert f"by {over.member.name} said: one stop, " in words


def test_before_the_pour_the_stop_is_still_to_come(client, over):
    over.step.state = "under_way"
    over.step.save()
    response = client.get(at("bench-step", over.shop, over.step.key))
    assert "Check again" in words_of(response)
    assert 'class="row checked"' in response.content.decode()


def test_another_cup_for_a_pour_that_is_done_asks_for_its_check_again(client, over):
    assert "Check again" in words_of(client.get(at("mix", over.shop, over.step.key)))


def test_a_pour_without_a_check_says_so_when_it_is_over(client, bench):
    bench.step.state = "done"
    bench.step.save()
    words = words_of(client.get(at("bench-step", bench.shop, bench.step.key)))
    assert "No check was kept before it." in words
    assert "Check before the mix" not in words


def test_figures_that_do_not_fit_together_lead_to_the_sheet_and_to_a_cup(client, bench):
    ways = [
        reverse(f"materials:{name}", args=[bench.shop.key, bench.resin.key])
        for name in ("resin", "cup-test-new")
    ]
    assert not any(f'href="{way}"' in client.get(page(bench)).content.decode() for way in ways)
    bench.resin.pot_minutes, bench.resin.max_depth_mm = 240, 50
    bench.resin.save()
    found = client.get(page(bench)).content.decode()
    assert all(f'href="{way}"' in found for way in ways)


def test_a_stranger_finds_no_check(client, bench):
    client.force_login(MemberFactory().user)
    assert client.get(page(bench)).status_code == 404


def test_the_page_costs_the_same_however_often_it_was_checked(client, bench):
    def queries():
        with CaptureQueriesContext(connection) as asked:
            client.get(page(bench))
        return len(asked)

    client.post(page(bench), act(**typed(bench)))
    overrule(client, bench, why="It is dry to the touch")
    once = queries()
    for _ in range(3):
        client.post(page(bench), act(**typed(bench)))
        overrule(client, bench, why="It is dry to the touch")
    assert queries() == once


def test_a_check_on_a_warm_pour_says_what_lies_below_and_costs_the_same_for_each(client, bench):
    assert "What lies below" not in words_of(client.get(page(bench)))
    bench.resin.recoat_open_h, bench.resin.recoat_close_h = 6, 24
    bench.resin.save()
    costs = []
    for _ in range(2):
        bench.meet()
        bench.pour(depth_mm=5.0)
        with CaptureQueriesContext(connection) as asked:
            words = words_of(client.get(page(bench)))
        costs.append(len(asked))
    assert "What lies below" in words
    assert "Below lies pour 2: 5 mm" in words
    assert costs[0] == costs[1]


def mix(client, bench, **typed):
    cup = {
        "a_g": "314.5", "room_c": "20", "humidity_percent": "45", "wanted_a_g": "313.5",
        "lot_a": str(bench.lot_a.pk), "lot_b": str(bench.lot_b.pk),
    }  # fmt: skip
    return client.post(at("mix", bench.shop, bench.step.key), act(**{**cup, **typed}))


def test_with_an_open_stop_nothing_is_mixed_without_a_reason(client, bench):
    client.post(page(bench), act(**typed(bench)))
    response = mix(client, bench)
    assert response.status_code == 422
    assert "The seal coat is not ready" in words_of(response).replace("the seal", "The seal")
    assert not LogEntry.objects.filter(kind="mix").exists()


def test_what_is_mixed_all_the_same_is_overruled_with_its_reason(client, bench):
    client.post(page(bench), act(**typed(bench)))
    asked = typed_in(mix(client, bench))["asked"]
    mix(client, bench, asked=asked, why="It is dry to the touch")
    assert "all_the_same" not in LogEntry.objects.get(kind="mix").detail  # the overruled stops say it
    assert {row.reason for row in Overrule.objects.all()} == {"It is dry to the touch"}


def test_a_cup_that_nobody_checked_is_reckoned_at_the_cup(client, bench):
    said = words_of(mix(client, bench))
    assert "This pour was not checked. Reckoned now: the seal coat is not ready" in said
    assert not LogEntry.objects.filter(kind="mix").exists()


def test_an_unchecked_cup_is_mixed_with_a_reason_and_asked_about_no_more(client, bench):
    asked = typed_in(mix(client, bench))["asked"]
    mix(client, bench, asked=asked, why="It is dry to the touch")
    row = Overrule.objects.get()
    assert (row.code, row.reason) == ("seal_coat", "It is dry to the touch")
    assert mix(client, bench).status_code == 302
    assert LogEntry.objects.filter(kind="mix").count() == 2


def test_the_bench_says_how_the_last_check_stands(client, bench):
    bench_page = at("bench-step", bench.shop, bench.step.key)
    assert "not checked" in words_of(client.get(bench_page))
    client.post(page(bench), act(**typed(bench)))
    assert "One stop" in words_of(client.get(bench_page))
