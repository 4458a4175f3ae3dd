import pytest

from projects.review.conditions import ORDER, Coat, Cup, conditions


def held(*cups, depth_mm=13.0, allowed_mm=None, coat=None):
    return conditions(cups, depth_mm, allowed_mm, coat)


@pytest.mark.parametrize(
    ("name", "on_the_limit", "beyond"),
    [
        ("cold", Cup(room_c=15), Cup(room_c=14.9)),
        ("below_sheet", Cup(room_c=18, min_c=18), Cup(room_c=17.9, min_c=18)),
        ("damp", Cup(humidity_percent=65), Cup(humidity_percent=65.1)),
        ("old_b", Cup(b_past_date=False), Cup(b_past_date=True)),
        (
            "ratio",
            Cup(ratio_off_percent=-2, tolerance_percent=2),
            Cup(ratio_off_percent=-2.1, tolerance_percent=2),
        ),
        ("late", Cup(minutes_to_pour=90, pot_life_min=90), Cup(minutes_to_pour=91, pot_life_min=90)),
        ("heavy", Cup(heavier=False), Cup(heavier=True)),
    ],
)
def test_a_condition_holds_beyond_its_limit(name, on_the_limit, beyond):
    assert held(on_the_limit)[name] is False
    assert held(beyond)[name] is True


def test_a_pour_is_too_deep_beyond_what_the_sheet_allows_in_its_stack():
    assert [held(allowed_mm=allowed)["deep"] for allowed in (13.0, 12.9)] == [False, True]


@pytest.mark.parametrize(
    ("age_h", "wet", "old"),
    [(3.9, True, False), (4.0, False, False), (14.0, False, False), (14.1, False, True)],
)
def test_a_seal_coat_is_wet_before_its_window_and_old_after_it(age_h, wet, old):
    assert held(coat=Coat(age_h, opens_h=4.0, closes_h=14.0)) == {"wet_coat": wet, "old_coat": old}


def test_a_seal_coat_without_a_window_says_nothing():
    assert held(coat=Coat(0.2)) == {}


def test_what_nobody_knows_is_left_out():
    assert held(Cup()) == held() == {}


def test_a_limit_without_its_value_or_a_value_without_its_limit_says_nothing():
    assert held(Cup(min_c=18, pot_life_min=90, ratio_off_percent=9)) == {}


def test_one_cup_is_enough():
    assert held(Cup(room_c=20), Cup(room_c=12))["cold"] is True


def test_a_cup_that_was_not_measured_leaves_the_others_their_say():
    assert held(Cup(room_c=20), Cup())["cold"] is False


def test_conditions_come_in_the_order_in_which_they_are_read_out():
    full = Cup(20, 50, 18, 1, 2, False, 10, 90, False)
    assert tuple(held(full, allowed_mm=20, coat=Coat(5, 4, 14))) == ORDER
