import pytest

from materials.science.errors import OutOfRange
from projects.review.counts import STRIKING, Contrast, Seen, chance_in_words, contrasts, fisher_exact


def pours(failed, total, kind="soft", **conditions):
    """So many pours for which the conditions held or not, of which the first so many failed."""
    return [Seen(frozenset({kind} if n < failed else ()), conditions) for n in range(total)]


FIVE_COLD = [*pours(4, 5, cold=True, damp=False), *pours(1, 45, cold=False, damp=False)]


def counts(found):
    return found.failed_with, found.total_with, found.failed_without, found.total_without


# --- the test of chance ---


@pytest.mark.parametrize(
    ("table", "published", "places"),
    [
        # R. A. Fisher, The Design of Experiments (1935): 8 cups of tea; two-sided 34/70, one-sided 17/70
        ((3, 4, 1, 4), 34 / 70, 12),
        ((4, 4, 0, 4), 2 / 70, 12),
        # R's help of fisher.test, "Convictions" of like-sex twins, two-sided: 0.0005367
        ((2, 17, 10, 13), 0.0005367, 7),
    ],
)
def test_published_tables_come_out_as_printed(table, published, places):
    assert fisher_exact(*table) == pytest.approx(published, abs=0.5 * 10**-places)


def test_a_table_worked_by_hand():
    # 4 of 5 against 1 of 45: C(50,5) = 2118760 ways; as unlikely are 4 of 5: 5*45 = 225, and 5 of 5: 1
    assert fisher_exact(4, 5, 1, 45) == pytest.approx(226 / 2_118_760, rel=1e-12)


def test_both_sides_may_change_places():
    assert fisher_exact(4, 5, 1, 45) == fisher_exact(1, 45, 4, 5)


@pytest.mark.parametrize("table", [(0, 5, 0, 45), (5, 5, 45, 45), (0, 0, 3, 9), (1, 2, 1, 2)])
def test_equal_shares_are_what_chance_brings(table):
    assert fisher_exact(*table) == 1


def test_a_stronger_contrast_is_a_rarer_one():
    found = [fisher_exact(failed, 5, 1, 45) for failed in (1, 2, 3, 4, 5)]
    assert found == sorted(found, reverse=True)
    assert len(set(found)) == 5


def test_large_counts_are_counted_exactly():
    assert 0 < fisher_exact(60, 500, 10, 500) < 1e-8


@pytest.mark.parametrize("table", [(6, 5, 0, 5), (-1, 5, 0, 5), (0, 5, 6, 5)])
def test_more_failures_than_pours_are_refused(table):
    with pytest.raises(OutOfRange, match="failed"):
        fisher_exact(*table)


# --- contrasts ---


def test_failures_are_counted_with_and_without_a_condition():
    found = contrasts(FIVE_COLD, "soft")
    assert [(one.condition, *counts(one)) for one in found] == [("cold", 4, 5, 1, 45)]


def test_the_strongest_contrast_stands_in_front():
    mixed = [
        *pours(4, 5, late=False, cold=True),
        *pours(1, 10, late=True, cold=False),
        *pours(0, 35, late=False, cold=False),
    ]
    assert [one.condition for one in contrasts(mixed, "soft")] == ["cold"]
    mixed.append(Seen(frozenset({"soft"}), {"late": True, "cold": False}))
    mixed += pours(2, 2, late=True, cold=False)
    assert [one.condition for one in contrasts(mixed, "soft")] == ["cold", "late"]


def test_a_condition_under_which_less_went_wrong_is_no_cause():
    assert contrasts([*pours(0, 5, damp=True), *pours(3, 5, damp=False)], "soft") == []


@pytest.mark.parametrize("held", [True, False])
def test_a_condition_that_always_held_or_never_has_no_contrast(held):
    assert contrasts(pours(3, 9, cold=held), "soft") == []


def test_what_nobody_measured_counts_on_neither_side():
    unknown = pours(5, 20)
    assert [counts(one) for one in contrasts([*FIVE_COLD, *unknown], "soft")] == [(4, 5, 1, 45)]


def test_another_kind_of_failure_is_another_count():
    assert contrasts(FIVE_COLD, "haze") == []


def test_conditions_of_the_very_same_pours_are_named_together():
    twins = [*pours(4, 5, cold=True, below_sheet=True), *pours(1, 45, cold=False, below_sheet=False)]
    (found,) = contrasts(twins, "soft")
    assert (found.condition, found.also) == ("cold", ("below_sheet",))


def test_a_condition_known_of_fewer_pours_stands_by_itself():
    some = [
        *pours(4, 4, cold=True, below_sheet=True),
        *pours(0, 1, cold=True),
        *pours(1, 45, cold=False, below_sheet=False),
    ]
    assert [one.also for one in contrasts(some, "soft")] == [(), ()]


def test_without_pours_there_is_nothing_to_say():
    assert contrasts([], "soft") == []


@pytest.mark.parametrize(
    ("table", "striking"), [((4, 5, 1, 45), True), ((1, 2, 2, 40), False), ((0, 5, 5, 5), False)]
)
def test_what_chance_explains_badly_is_striking(table, striking):
    assert Contrast("cold", *table, chance=fisher_exact(*table)).is_striking is striking


# --- in words ---


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0, "less than once in a thousand times"),
        (0.001, "less than once in a hundred times"),
        (0.01, "less than once in twenty times"),
        (STRIKING, "could well do that"),
        (1, "could well do that"),
    ],
)
def test_chance_is_said_in_words(chance, words):
    assert words in chance_in_words(chance)


@pytest.mark.parametrize("chance", [-0.1, 1.1, float("nan")])
def test_what_is_no_chance_is_refused(chance):
    with pytest.raises(OutOfRange, match="chance"):
        chance_in_words(chance)
