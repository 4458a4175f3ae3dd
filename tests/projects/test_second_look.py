import pytest

from projects import second_look


@pytest.mark.parametrize(("poured_g", "more"), [(0, True), (899, True), (900, False), (1100, False)])
def test_a_mould_with_clearly_less_than_it_wants_wants_another_pour(poured_g, more):
    assert second_look.more_to_come(1000, poured_g) is more


def test_nothing_typed_is_no_slip():
    assert second_look.slips(None, None, 300) == {}


@pytest.mark.parametrize(("a_g", "times"), [(599, None), (600, 2.0)])
def test_twice_what_is_wanted_is_more_likely_a_slip(a_g, times):
    assert second_look.slips(a_g, None, 300)["times_wanted"] == times
