import uuid

import pytest

from materials.models import Batch
from projects.actions import bench as acts
from projects.models import Step
from tests.factories import Bench, StepFactory
from tests.projects.pages import act, ago, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db


def cup_page(bench, batch):
    return at("cup", bench.shop, bench.step.key, batch.key)


def weigh_page(bench, batch, part="B"):
    return at("weigh", bench.shop, bench.step.key, batch.key, part)


# --- the card of a cup ---


def test_a_cup_asks_for_b_first(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(cup_page(bench, bench.meet())))
    assert "A wanted 313.5 g 314.5 g Change" in words
    assert "B follows A 141.5 g B weighed" in words
    assert "B weighs this" in words


def test_a_cup_shows_its_running_clock(signed_in):
    bench = Bench()
    batch = bench.meet()
    timer = batch.timers.get()
    assert f'data-key="{timer.key}"' in signed_in(bench.member).get(cup_page(bench, batch)).content.decode()


@pytest.mark.parametrize(
    ("b_g", "said"),
    [
        (142, "ratio is right 100 : 45.2, the sheet says 100 : 45; within ±2 %"),  # +0.34 %
        (144.3, "ratio is right"),  # 144.3 / 141.525 = +1.96 %
        (145, "ratio is off"),  # +2.46 %
        (145, "Add 7.7 g of A, write down what is in the cup now, and stir well."),  # 145 / 0.45 - 314.5
        (138, "Add 3.5 g of B, write down what is in the cup now, and stir well."),  # 141.525 - 138
        (149, "ratio is wrong"),  # +5.28 %
        (149, "Don’t pour it like this. Add 16.6 g of A, write down"),  # 149 / 0.45 - 314.5
        (134, "Don’t pour it like this. Add 7.5 g of B, write down"),  # 141.525 - 134
    ],
)
def test_a_weighed_cup_says_what_its_ratio_means(signed_in, b_g, said):
    bench = Bench()
    batch = bench.weigh_b(bench.meet(a_g=314.5), grams=b_g)
    assert said in words_of(signed_in(bench.member).get(cup_page(bench, batch)))


def test_a_weighed_cup_goes_on_to_the_pour(signed_in):
    bench = Bench()
    batch = bench.weigh_b(bench.meet())
    response = signed_in(bench.member).get(cup_page(bench, batch))
    assert f'href="{at("pour", bench.shop, bench.step.key)}">Pour it</a>' in response.content.decode()


def test_a_poured_cup_goes_back_to_its_pour(signed_in):
    bench = Bench()
    batch = bench.weigh_b(bench.meet())
    bench.pour()
    assert words_of(signed_in(bench.member).get(cup_page(bench, batch))).find("Back to the pour") > 0


@pytest.mark.parametrize("part", ["A", "B"])
def test_a_weighed_figure_can_be_opened_again(signed_in, part):
    bench = Bench()
    batch = bench.weigh_b(bench.meet())
    response = signed_in(bench.member).get(cup_page(bench, batch), {"change": part})
    assert weigh_page(bench, batch, part).encode() in response.content
    assert f"{part} weighs this" in words_of(response)


def test_a_cup_of_another_step_is_no_such_page(signed_in):
    bench = Bench()
    batch = bench.meet()
    other = StepFactory(shop=bench.shop)
    address = at("cup", bench.shop, other.key, batch.key)
    assert signed_in(bench.member).get(address).status_code == 404


# --- weighing ---


def test_b_weighed_shows_the_cup_again(signed_in):
    bench = Bench()
    batch = bench.meet()
    response = signed_in(bench.member).post(weigh_page(bench, batch), act(grams="142 g"))
    assert (response.status_code, response["Location"]) == (302, cup_page(bench, batch))
    assert Batch.objects.get().actual_b_g == 142


def test_b_sent_twice_is_drawn_once(signed_in):
    bench = Bench()
    batch = bench.meet()
    client, sent = signed_in(bench.member), act(grams="142 g")
    for _ in range(2):
        client.post(weigh_page(bench, batch), sent)
    assert [line.kind for line in bench.lot_b.movements.order_by("pk")] == ["receive", "use"]


def test_a_changed_a_is_stored(signed_in):
    bench = Bench()
    batch = bench.meet()
    signed_in(bench.member).post(weigh_page(bench, batch, "A"), act(grams="300 g"))
    assert Batch.objects.get().actual_a_g == 300


@pytest.mark.parametrize("part", ["C", "a", "AB"])
def test_there_are_no_other_parts(signed_in, part):
    bench = Bench()
    response = signed_in(bench.member).post(weigh_page(bench, bench.meet(), part), act(grams="142 g"))
    assert response.status_code == 404


WRONG_B = [
    ("", "This field is required."),
    ("0", "0.01 g or more"),
    ("-142", "0.01 g or more"),
    ("0.0001", "0.01 g or more"),
    ("900 kg", "50 000 g or less"),
    ("142 ml", "“ml” is no unit for this."),
    ("much", "“much” is not understood."),
]


@pytest.mark.parametrize(("said", "sentence"), WRONG_B)
def test_what_is_wrong_with_a_weighing_is_said_at_its_field(signed_in, said, sentence):
    bench = Bench()
    response = signed_in(bench.member).post(weigh_page(bench, bench.meet()), act(grams=said))
    assert response.status_code == 422
    assert sentence in " ".join(said_at(response, "grams").split())
    assert typed_in(response)["grams"] == said
    assert Batch.objects.get().actual_b_g is None


@pytest.mark.parametrize("grams", ["283 g", "1420 g", "0.01 g", "50 kg"])
def test_far_too_much_or_too_little_b_is_stored_since_it_has_happened(signed_in, grams):
    bench = Bench()
    batch = bench.meet(a_g=314.5)
    client = signed_in(bench.member)
    response = client.post(weigh_page(bench, batch), act(grams=grams), follow=True)
    assert Batch.objects.get().actual_b_g is not None
    assert "ratio is wrong" in words_of(response)


def test_a_cup_mixed_a_while_ago_shows_how_late_it_is(signed_in):
    bench = Bench()
    batch = acts.parts_meet(
        bench.member, bench.step, key=uuid.uuid4(), moment=ago(180), resin=bench.resin, cup=bench.cup()
    )
    words = words_of(signed_in(bench.member).get(cup_page(bench, batch)))
    assert "late It was due 1 h 56 ago." in words  # 180 - 63.64
    assert Step.objects.get(pk=bench.step.pk).state == Step.State.UNDER_WAY
