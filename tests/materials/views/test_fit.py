"""The fit of a resin as a picture, loaded after its page."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import AT, MemberFactory, ResinFactory
from tests.materials.fit.room import fitted
from tests.projects.pages import FRAGMENT, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


@pytest.fixture
def client(client, member):
    client.force_login(member.user)
    return client


def page(resin, name="resin-fit"):
    return reverse(f"materials:{name}", args=[resin.shop.key, resin.key])


def resin_of(member, **sheet):
    return ResinFactory(shop=member.shop, **sheet)


def test_the_resins_page_loads_the_fit_after_itself(client, member):
    resin = resin_of(member)
    assert f'hx-get="{page(resin)}" hx-trigger="load"' in client.get(page(resin, "resin")).content.decode()


def test_the_fragment_is_a_part_of_the_page(client, member):
    resin = resin_of(member)
    fragment = client.get(page(resin), **FRAGMENT)
    assert "<html" not in fragment.content.decode()
    assert words_of(fragment) in words_of(client.get(page(resin)))


def test_both_pictures_say_their_result(client, member):
    text = client.get(page(resin_of(member, pot_minutes=480, max_depth_mm=25))).content.decode()
    assert 'aria-label="A cup left standing: 31\u00a0°C expected at the hottest, after 9 h,' in text
    assert 'aria-label="At 50 % resin one pour may be 60\u00a0mm deep as expected,' in text
    assert text.count('role="img"') == 6  # each at three widths


def test_the_sheet_and_the_model_stand_beside_each_other(client, member):
    said = words_of(client.get(page(resin_of(member, pot_minutes=480, max_depth_mm=25))))
    assert "The sheet says: 480 min for 100 g at 25 °C until it has become twice as thick" in said
    assert "the sheet’s depth over the resin’s share is 50 mm. Keep to the safe side." in said


def test_a_sheet_stricter_than_the_model_is_kept_to(client, member):
    said = words_of(client.get(page(resin_of(member, pot_minutes=480, max_depth_mm=15))))
    assert "the sheet’s depth over the resin’s share is 30 mm. Keep to the sheet." in said


def test_a_sheet_without_a_depth_is_never_clear(client, member):
    said = words_of(client.get(page(resin_of(member, max_depth_mm=None))))
    assert "It names no largest depth, so no pour of it can be called clear." in said


def test_what_does_not_fit_together_is_flagged_in_words(client, member):
    said = words_of(client.get(page(resin_of(member, pot_minutes=240, max_depth_mm=50))))
    assert "look again A pot life of 240 min and a depth of 50 mm do not fit together in this model" in said


SETTLES = "A cup read with a thermometer settles it"


def test_what_does_not_fit_together_has_a_way_out(client, member):
    resin = resin_of(member, pot_minutes=240, max_depth_mm=50)
    response = client.get(page(resin))
    assert SETTLES in words_of(response)
    assert response.content.decode().count(f'href="{page(resin, "cup-test-new")}"') == 2  # there, and below


def test_a_viewer_is_told_the_way_out_without_a_link(client, member):
    resin = resin_of(member, pot_minutes=240, max_depth_mm=50)
    client.force_login(MemberFactory(shop=member.shop, role="viewer").user)
    response = client.get(page(resin))
    assert SETTLES in words_of(response)
    assert page(resin, "cup-test-new") not in response.content.decode()


def test_where_all_fits_together_nothing_is_to_be_settled(client, member):
    resin = resin_of(member, pot_minutes=480, max_depth_mm=25)
    assert SETTLES not in words_of(client.get(page(resin)))


def test_after_a_cup_nothing_is_to_be_settled_by_a_cup(client, member):
    resin = resin_of(member, pot_minutes=240, max_depth_mm=50)
    fitted(resin)
    assert SETTLES not in words_of(client.get(page(resin)))


def test_a_cup_that_runs_away_is_told_without_a_figure(client, member):
    said = words_of(client.get(page(resin_of(member, pot_minutes=40))))
    assert "should run away after about 44 min: past 150 °C, with smoke." in said


def test_until_a_cup_was_read_the_page_says_so(client, member):
    said = words_of(client.get(page(resin_of(member))))
    assert "no cup was read No cup of this resin has been read yet" in said


def test_a_cup_test_is_what_the_picture_rests_on(client, member):
    resin = resin_of(member)
    fitted(resin)
    said = words_of(client.get(page(resin)))
    assert "This rests on a cup test of 10 March 2026 (100 g at 25 °C)" in said
    assert "the model follows closely (2.0 % of the rise off)" in said
    assert "forecasts rest on it" in said


def test_a_cup_that_thickens_sooner_than_the_sheet_says_is_told(client, member):
    resin = resin_of(member)
    fitted(resin)
    resin.pot_minutes = 180
    resin.save()
    said = words_of(client.get(page(resin)))
    assert "it can be poured for about 90 min: shorter than the sheet says." in said


def test_a_sheet_that_can_not_be_fitted_gets_a_sentence(client, member):
    response = client.get(page(resin_of(member, pot_minutes=600, pot_meaning="temperature")))
    assert response.status_code == 200
    assert "no forecast The model finds no resin that does what this sheet says" in words_of(response)


def test_a_sheet_out_of_reach_names_the_figure(client, member):
    said = words_of(client.get(page(resin_of(member, depth_c=44))))
    assert "no forecast The model does not reach this sheet: temperature of the depth is 44 °C" in said


def test_an_inch_shop_reads_its_own_units(client, member):
    member.shop.units = "inch"
    member.shop.save()
    said = words_of(client.get(page(resin_of(member, pot_minutes=480))))
    assert "at 77 °F" in said
    assert "0.984 in deep" in said


def test_a_stranger_finds_nothing(client, member):
    resin = resin_of(member)
    client.force_login(MemberFactory().user)
    assert client.get(page(resin)).status_code == 404


def test_a_resin_of_another_shop_is_not_found_under_ones_own(client, member):
    other = ResinFactory()
    assert client.get(reverse("materials:resin-fit", args=[member.shop.key, other.key])).status_code == 404


def test_it_is_read_only(client, member):
    assert client.post(page(resin_of(member))).status_code == 405


def test_the_number_of_queries_does_not_grow_with_the_cups(client, member):
    resin, counts = resin_of(member), []
    for day in range(1, 5):
        fitted(resin, taken_at=AT.replace(day=day))
        with CaptureQueriesContext(connection) as asked:
            client.get(page(resin), **FRAGMENT)
        counts.append(len(asked))
    assert len(set(counts)) == 1
    assert counts[0] == 7
