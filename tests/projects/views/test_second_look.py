"""What the bench asks twice: a wrong cup, a pour too soon, a slip of a digit, an open checklist."""

import pytest
from django.utils import timezone

from projects.actions import bench as acts
from projects.models import LogEntry, Pour, Timer
from tests.factories import Bench, CheckItemFactory, ResinFactory, key
from tests.projects.pages import FRAGMENT, act, ago, at, typed_in, words_of
from workshop.acting import Moment

pytestmark = pytest.mark.django_db

WRONG_B_G, RIGHT_B_G = 160.0, 142.0  # 314.5 g of A want 141.5


def wrong_cup():
    bench = Bench()
    return bench, bench.weigh_b(bench.meet(), grams=WRONG_B_G)


def pour_page(bench):
    return at("pour", bench.shop, bench.step.key)


def test_a_wrong_cup_is_not_poured_without_a_reason(signed_in):
    bench, _ = wrong_cup()
    response = signed_in(bench.member).post(pour_page(bench), act(depth_mm="13 mm"))
    assert (response.status_code, Pour.objects.count()) == (422, 0)


def test_a_wrong_cup_poured_all_the_same_has_its_reason_in_the_log(signed_in):
    bench, _ = wrong_cup()
    typed = act(depth_mm="13 mm", asked="ratio_1", why="It is a test casting")
    signed_in(bench.member).post(pour_page(bench), typed)
    kept = LogEntry.objects.get(kind="pour").detail["all_the_same"]
    assert kept == {"why": "It is a test casting", "against": ["cup 1 off its ratio"]}


def test_a_wrong_cup_is_weighed_again_before_anything_else(signed_in):
    bench, batch = wrong_cup()
    page = signed_in(bench.member).get(at("cup", bench.shop, bench.step.key, batch.key)).content.decode()
    assert '<a class="btn main full" href="?change=A">Weigh A again</a>' in page


def test_a_cup_that_was_thrown_away_is_not_poured():
    bench, wrong = wrong_cup()
    acts.settle(bench.member, wrong.timers.get(), "Thrown away", key=key(), moment=Moment.now(timezone.now()))
    right = bench.weigh_b(bench.meet(minutes=5), grams=RIGHT_B_G)
    assert list(bench.pour(minutes=12).batches.all()) == [right]


def test_a_second_pour_leaves_the_block_in_its_mould_no_shorter():
    bench = Bench()
    bench.weigh_b(bench.meet(room_c=20.0))
    bench.pour(minutes=10)
    first = Timer.objects.running().get(kind="demould").due_at
    bench.resin = ResinFactory(shop=bench.shop, demould_h=2)  # by itself it would be out sooner
    bench.weigh_b(bench.meet(minutes=20, room_c=20.0))
    bench.pour(minutes=30)
    assert Timer.objects.running().get(kind="demould").due_at == first


def test_a_pour_before_its_window_is_told_when_that_opens(signed_in):
    bench = Bench()
    # it flows for 127 min, and its window opens after five hours and a half
    acts_at = ago(150)
    acts.parts_meet(bench.member, bench.step, key=key(), moment=acts_at, resin=bench.resin, cup=bench.cup())
    acts.pour(bench.member, bench.step, key=key(), moment=ago(140), depth_mm=13.0, text="")
    assert "The last pour takes another from" in words_of(signed_in(bench.member).get(pour_page(bench)))


def test_a_pour_after_its_window_is_told_to_test_the_bond(signed_in):
    bench = Bench()
    acts.parts_meet(bench.member, bench.step, key=key(), moment=ago(3000), resin=bench.resin, cup=bench.cup())
    acts.pour(bench.member, bench.step, key=key(), moment=ago(2990), depth_mm=13.0, text="")
    assert "test the bond" in words_of(signed_in(bench.member).get(pour_page(bench)))


def follow(signed_in, bench, a_g):
    typed = {
        "a_g": a_g,
        "room_c": "20",
        "wanted_a_g": "313.5",
        "cups": "1",
        "lot_a": bench.lot_a.pk,
        "lot_b": bench.lot_b.pk,
    }
    return words_of(signed_in(bench.member).get(at("mix", bench.shop, bench.step.key), typed, **FRAGMENT))


def test_a_slip_of_a_digit_is_pointed_out(signed_in):
    assert "far more than is wanted" in follow(signed_in, Bench(), "3135")


def test_what_is_wanted_is_not_called_a_slip(signed_in):
    assert "far more than is wanted" not in follow(signed_in, Bench(), "350")


def test_a_bottle_that_holds_less_is_pointed_out(signed_in):
    assert "this bottle holds 5 000 g" in follow(signed_in, Bench(), "6 kg").replace("\u202f", " ").replace(
        "\u00a0", " "
    )


def test_an_open_checklist_is_pointed_out_before_the_cup(signed_in):
    bench = Bench()
    CheckItemFactory(shop=bench.shop, step=bench.step)
    said = words_of(signed_in(bench.member).get(at("mix", bench.shop, bench.step.key)))
    assert "1 of it not ticked" in said


def test_the_sheets_depth_is_said_at_the_pour_as_this_stack_may_take_it(signed_in):
    bench = Bench()
    bench.meet()
    said = words_of(signed_in(bench.member).get(pour_page(bench)))
    assert "25 mm of neat resin at once; in this stack that is 50 mm" in said.replace("\u00a0", " ")


# --- another pour on top ---


def test_a_cup_that_clearly_does_not_fill_the_mould_expects_another_pour(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet())  # 457 g of 1023 g
    assert "more" in typed_in(signed_in(bench.member).get(pour_page(bench)))


def test_cups_that_fill_the_mould_expect_no_other_pour(signed_in):
    bench = Bench()
    for minutes in (0, 3):
        bench.weigh_b(bench.meet(minutes=minutes, a_g=353.0), grams=159.0, minutes=minutes + 1)  # 1024 g
    assert "more" not in typed_in(signed_in(bench.member).get(pour_page(bench)))


def test_a_pour_with_another_on_top_leaves_its_step_under_way(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet())
    signed_in(bench.member).post(pour_page(bench), act(depth_mm="6 mm", more="on"))
    bench.step.refresh_from_db()
    assert bench.step.state == "under_way"
    assert LogEntry.objects.get(kind="pour").detail["more"] is True
