"""The ledger: what comes in, goes out, is counted and taken back; it only grows, and it adds up."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials import actions
from materials.actions import AlreadyReversed, Short, TooLittle
from materials.models import Movement
from tests.factories import AT, LotFactory, MemberFactory, key, moment
from tests.projects.threads import at_once
from workshop.models import Event

HALF_LITRE = 500.0


def bottle(grams=HALF_LITRE, **more):
    """A bottle of A, and a member of its shop."""
    lot = LotFactory(grams=grams, code="A-01", **more)
    return lot, MemberFactory(shop=lot.shop)


def draw(member, lot, grams, **more):
    return actions.draw_at_shelf(member, lot, grams, at=AT, **more)


def draw_at_bench(member, lot, grams, minutes=0):
    return actions.draw_at_bench(
        member, lot, grams, at=AT, happened_at=moment(minutes).happened_at, act_key=key(), why="cup 1"
    )


# drawing at the shelf


@pytest.mark.django_db
@pytest.mark.parametrize("kind", ["use", "waste"])
def test_what_is_drawn_is_gone(kind):
    lot, member = bottle()
    line = draw(member, lot, 120.25, kind=kind, why="a test cup")
    assert (line.kind, line.thousandths, line.why) == (kind, -120_250, "a test cup")
    assert lot.on_hand == 379.75


@pytest.mark.django_db
def test_the_last_gram_can_be_drawn():
    lot, member = bottle()
    draw(member, lot, HALF_LITRE)
    assert lot.on_hand == 0


@pytest.mark.django_db
def test_more_than_there_is_gets_a_sentence_with_both_figures():
    lot, member = bottle()
    with pytest.raises(
        Short, match="A-01 holds 500\u00a0g, 500.5\u00a0g were wanted. Take less or another one"
    ):
        draw(member, lot, 500.5)


@pytest.mark.django_db
def test_a_thousandth_too_much_is_too_much():
    lot, member = bottle()
    with pytest.raises(Short, match="A-01 holds"):
        draw(member, lot, 500.001)


@pytest.mark.django_db
def test_a_refused_draw_writes_nothing():
    lot, member = bottle()
    with pytest.raises(Short, match="A-01 holds"):
        draw(member, lot, 501)
    assert lot.movements.count() == 1
    assert not Event.objects.exists()


@pytest.mark.django_db
def test_a_refusal_speaks_in_the_units_of_the_shop():
    lot, member = bottle(453.59237)
    member.shop.units = "inch"
    with pytest.raises(Short, match="A-01 holds 16\u00a0oz, 32\u00a0oz were wanted"):
        draw(member, lot, 907.18474)


@pytest.mark.django_db
def test_an_overdrawn_lot_holds_nothing_not_less():
    lot, member = bottle(100)
    draw_at_bench(member, lot, 140)
    with pytest.raises(Short, match="A-01 holds 0\u00a0g"):
        draw(member, lot, 1)


@pytest.mark.django_db
def test_less_than_the_ledger_can_hold_is_refused():
    lot, member = bottle()
    with pytest.raises(TooLittle, match="less than a thousandth; nothing was written"):
        draw(member, lot, 0.0004)


@pytest.mark.django_db
def test_a_draw_is_in_history():
    lot, member = bottle()
    draw(member, lot, 20, why="a test cup")
    event = Event.objects.get()
    assert (event.verb, event.target_label, event.after, event.why) == (
        "use",
        "A-01: used",
        {"thousandths": -20_000},
        "a test cup",
    )


@pytest.mark.django_db(transaction=True)
def test_of_two_who_draw_the_last_at_once_one_gets_it_and_one_a_sentence():
    lot, member = bottle(100)
    answers = at_once(*[lambda: draw(member, lot, 60)] * 2)
    assert sorted(type(answer).__name__ for answer in answers) == ["Movement", "Short"]
    refusal = next(answer for answer in answers if isinstance(answer, Short))
    assert str(refusal).startswith("A-01 holds 40\u00a0g, 60\u00a0g were wanted.")
    assert lot.on_hand == 40


@pytest.mark.django_db(transaction=True)
def test_eight_who_draw_at_once_never_draw_more_than_there_is():
    lot, member = bottle(100)
    answers = at_once(*[lambda: draw(member, lot, 30)] * 8)
    assert sum(isinstance(answer, Movement) for answer in answers) == 3
    assert lot.on_hand == 10


@pytest.mark.django_db(transaction=True)
def test_a_draw_and_a_count_at_once_leave_a_true_ledger():
    """Whichever comes first: the count says 50 as it was looked at, the draw takes 10 from what it finds."""
    lot, member = bottle(100)
    at_once(lambda: draw(member, lot, 10), lambda: actions.count(member, lot, 50, at=AT))
    assert lot.on_hand in {50, 40}


# drawing at the bench


@pytest.mark.django_db
def test_what_went_into_a_cup_is_stored_even_below_nothing():
    lot, member = bottle(100)
    draw_at_bench(member, lot, 140)
    assert (lot.on_hand, lot.short) == (-40, 40)


@pytest.mark.django_db
def test_the_first_draw_opens_the_bottle_on_the_shops_day():
    """23:30 in Greenwich is the next day in Berlin."""
    lot, member = bottle(shop__zone="Europe/Berlin")
    draw_at_bench(member, lot, 10, minutes=14 * 60 + 30)
    lot.refresh_from_db()
    assert str(lot.opened_on) == "2026-03-11"


@pytest.mark.django_db
def test_a_later_draw_leaves_the_day_of_opening():
    lot, member = bottle()
    draw_at_bench(member, lot, 10)
    draw_at_bench(member, lot, 10, minutes=3 * 24 * 60)
    lot.refresh_from_db()
    assert str(lot.opened_on) == "2026-03-10"


@pytest.mark.django_db
def test_a_draw_at_the_bench_keeps_its_act_and_its_moment():
    lot, member = bottle()
    act_key = key()
    line = actions.draw_at_bench(
        member, lot, 10, at=AT, happened_at=moment(-30).happened_at, act_key=act_key, why="cup 1"
    )
    assert (line.act_key, line.happened_at, line.created_at) == (act_key, moment(-30).happened_at, AT)


@pytest.mark.django_db(transaction=True)
def test_two_cups_from_one_bottle_at_once_are_both_stored():
    lot, member = bottle(100)
    at_once(lambda: draw_at_bench(member, lot, 80), lambda: draw_at_bench(member, lot, 80))
    assert lot.on_hand == -60


# counting


@pytest.mark.django_db
@pytest.mark.parametrize(("found", "difference"), [(480, -20_000), (512.5, 12_500), (500, 0), (0, -500_000)])
def test_a_count_writes_the_difference(found, difference):
    lot, member = bottle()
    line = actions.count(member, lot, found, at=AT, why="spring")
    assert (line.kind, line.thousandths) == ("count", difference)
    assert lot.on_hand == found


@pytest.mark.django_db
def test_a_count_puts_an_overdrawn_lot_right():
    lot, member = bottle(100)
    draw_at_bench(member, lot, 140)
    actions.count(member, lot, 12, at=AT)
    assert (lot.on_hand, lot.short) == (12, 0)


# taking back


@pytest.mark.django_db
def test_a_line_is_taken_back_by_a_second_one():
    lot, member = bottle()
    line = draw(member, lot, 120)
    back = actions.reverse(member, line, at=AT, why="wrong bottle")
    assert (back.kind, back.thousandths, back.reverses, back.why) == (
        "reverse",
        120_000,
        line,
        "wrong bottle",
    )
    assert lot.on_hand == HALF_LITRE


@pytest.mark.django_db
def test_a_line_is_taken_back_once():
    lot, member = bottle()
    line = draw(member, lot, 120)
    actions.reverse(member, line, at=AT)
    with pytest.raises(AlreadyReversed, match="This line was taken back before"):
        actions.reverse(member, line, at=AT)


@pytest.mark.django_db
def test_a_taking_back_is_not_taken_back():
    lot, member = bottle()
    back = actions.reverse(member, draw(member, lot, 120), at=AT)
    with pytest.raises(AlreadyReversed, match="This line was taken back before"):
        actions.reverse(member, back, at=AT)


@pytest.mark.django_db
def test_a_receipt_of_which_nothing_was_used_is_taken_back():
    lot, member = bottle()
    actions.reverse(member, lot.movements.get(), at=AT, why="sent back")
    assert lot.on_hand == 0


@pytest.mark.django_db
def test_a_receipt_that_was_used_stays():
    lot, member = bottle()
    draw(member, lot, 120)
    with pytest.raises(
        Short, match="This line added 500\u00a0g, and A-01 holds 380\u00a0g: the rest was used. Count"
    ):
        actions.reverse(member, lot.movements.get(kind="receive"), at=AT)
    assert lot.on_hand == 380


@pytest.mark.django_db
@pytest.mark.parametrize("found", [480, 520])
def test_a_count_is_taken_back(found):
    lot, member = bottle()
    actions.reverse(member, actions.count(member, lot, found, at=AT), at=AT)
    assert lot.on_hand == HALF_LITRE


@pytest.mark.django_db
def test_a_count_that_changed_nothing_is_not_taken_back():
    lot, member = bottle()
    line = actions.count(member, lot, HALF_LITRE, at=AT)
    with pytest.raises(AlreadyReversed, match="This count changed nothing"):
        actions.reverse(member, line, at=AT)


@pytest.mark.django_db(transaction=True)
def test_of_many_who_take_a_line_back_at_once_one_does():
    lot, member = bottle()
    for _ in range(5):
        line = draw(member, lot, 120)
        answers = at_once(*[lambda line=line: actions.reverse(member, line, at=AT)] * 6)
        assert sorted(type(answer).__name__ for answer in answers) == ["AlreadyReversed"] * 5 + ["Movement"]
    assert lot.on_hand == HALF_LITRE


# the sum


STEPS = st.lists(
    st.tuples(st.sampled_from(["use", "waste", "count", "bench", "reverse"]), st.integers(1, 300_000)),
    max_size=6,
)


@pytest.mark.django_db
@given(steps=STEPS)
def test_on_hand_is_what_a_person_with_a_pencil_would_have(steps):
    """The same steps on paper: draws off, counts as found, the last line taken back where it can be."""
    lot, member = bottle()
    pencil = 500_000
    for what, thousandths in steps:
        pencil = step_on_paper(lot, member, what, thousandths, pencil)
    assert actions.on_hand_thousandths(lot) == pencil


def step_on_paper(lot, member, what, thousandths, pencil):
    """One step in the ledger and with a pencil; gives what the paper says afterwards."""
    amount = thousandths / 1000
    if what == "count":
        actions.count(member, lot, amount, at=AT)
        return thousandths
    if what == "bench":
        draw_at_bench(member, lot, amount)
        return pencil - thousandths
    if what == "reverse":
        last = lot.movements.order_by("-pk").first()
        try:
            return pencil + actions.reverse(member, last, at=AT).thousandths
        except (Short, AlreadyReversed):
            return pencil
    try:
        draw(member, lot, amount, kind=what)
    except Short:
        assert thousandths > pencil
        return pencil
    return pencil - thousandths
