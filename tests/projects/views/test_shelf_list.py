"""The Shelf list of a project: what it wants, what is there for it, what is missing, what was written in."""

import pytest
from django.utils import timezone

from projects.models import Need
from tests.factories import (
    BlockFactory,
    LotFactory,
    MemberFactory,
    NeedFactory,
    ProjectFactory,
    ResinFactory,
    SpeciesFactory,
    StepFactory,
    SupplyFactory,
    SupplyLotFactory,
    key,
)
from tests.projects.pages import act, at, said_at, typed_in, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


@pytest.fixture
def project(member):
    return ProjectFactory(shop=member.shop, code="L-33", title="Lantern")


def url_of(project):
    return at("shelf-list", project.shop, project.key)


def page(signed_in, member, project):
    return words_of(signed_in(member).get(url_of(project)))


def of_resin(project, grams, part="A", **more):
    resin = ResinFactory(shop=project.shop, **{"name": "Tarn 90", **more})
    need = NeedFactory(
        project=project, source="block", supply=None, resin=resin, part=part, unit="g",
        thousandths=grams * 1000,
    )  # fmt: skip
    return need, resin


# what it shows


def test_a_project_that_wants_nothing_says_what_would_stand_here(signed_in, member, project):
    assert "Nothing is wanted Give the block its wood" in page(signed_in, member, project)


def test_each_line_names_its_block(signed_in, member, project):
    wood = SpeciesFactory(shop=member.shop, name="Walnut")
    for position in (0, 1):
        NeedFactory(
            project=project, block=BlockFactory(shop=member.shop, project=project, position=position),
            source="block", supply=None, species=wood, unit="strips", thousandths=50_000,
            thickness_mm=2, width_mm=12, length_mm=600,
        )  # fmt: skip
    said = page(signed_in, member, project)
    assert "Walnut, 2 mm × 12 mm × 600 mm Block A" in said
    assert "Walnut, 2 mm × 12 mm × 600 mm Block B" in said


def test_what_the_shelf_has_is_said_with_the_bottle(signed_in, member, project):
    _, resin = of_resin(project, 500)
    LotFactory(shop=member.shop, resin=resin, code="A-07")
    words = page(signed_in, member, project)
    assert "all here The shelf has what this project wants." in words
    assert "Tarn 90, part A 500 g 500 g A-07 –" in words


def test_what_is_missing_is_said(signed_in, member, project):
    _, resin = of_resin(project, 500)
    LotFactory(shop=member.shop, resin=resin, code="A-07", grams=300)
    words = page(signed_in, member, project)
    assert "missing 1 of 1 can’t be taken from the shelf." in words
    assert "500 g 300 g A-07 200 g" in words


def test_what_another_project_needs_first_is_not_there_for_this_one(signed_in, member, project):
    _, resin = of_resin(project, 500)
    LotFactory(shop=member.shop, resin=resin, grams=500)
    sooner = ProjectFactory(shop=member.shop, due_on=timezone.localdate())
    NeedFactory(project=sooner, supply=None, resin=resin, part="A", unit="g", thousandths=400_000)
    assert "500 g 100 g" in page(signed_in, member, project)


def test_what_another_project_wants_stands_on_its_own_list(signed_in, member, project):
    need = NeedFactory(project=ProjectFactory(shop=member.shop))
    shown = words_of(signed_in(member).get(url_of(project))).split("It also wants")[0]
    assert str(need.supply) not in shown


@pytest.mark.parametrize("state", ["idea", "finished", "set_aside"])
def test_for_a_project_that_is_not_live_nothing_is_kept(signed_in, member, project, state):
    _, resin = of_resin(project, 500)
    LotFactory(shop=member.shop, resin=resin)
    project.state = state
    project.save()
    words = page(signed_in, member, project)
    assert "nothing is kept for it, and nothing is bought" in words
    assert "Tarn 90, part A 500 g – –" in words


def test_tape_that_is_not_counted_is_wanted_as_some(signed_in, member, project):
    lot = SupplyLotFactory(shop=member.shop, code="K-01")
    NeedFactory(project=project, supply=lot.supply)
    assert "some K-01 –" in page(signed_in, member, project)


@pytest.mark.parametrize("size", [1, 20])
def test_the_page_asks_the_same_however_much_is_wanted(
    signed_in, member, project, size, django_assert_num_queries
):
    for number in range(size):
        _, resin = of_resin(project, 500, name=f"Tarn {number}")
        LotFactory(shop=member.shop, resin=resin)
        NeedFactory(project=project)
        StepFactory(shop=member.shop, project=project, block=None)
    client = signed_in(member)
    # session, user, member and shop, project, wants, lots, written in, any supply, supplies and steps, panel
    with django_assert_num_queries(11):
        client.get(url_of(project))


# writing in


def write(client, project, what, **more):
    return client.post(url_of(project), act(**{"supply": what.pk, "amount": "", "step": "", **more}))


def test_something_is_written_in(signed_in, member, project):
    oil = SupplyFactory(shop=member.shop, kind="finish", unit="ml")
    step = StepFactory(shop=member.shop, project=project, block=None, kind="coat")
    response = write(signed_in(member), project, oil, amount="0,12 l", step=step.pk)
    assert response.headers["Location"] == url_of(project)
    need = Need.objects.get()
    assert (need.supply, need.amount, need.unit, need.step) == (oil, 120, "ml", step)


def test_of_what_is_not_counted_no_amount_is_asked(signed_in, member, project):
    write(signed_in(member), project, SupplyFactory(shop=member.shop), amount="")
    assert (Need.objects.get().unit, Need.objects.get().amount) == ("level", 1)


@pytest.mark.parametrize(
    ("unit", "field", "text", "sentence"),
    [
        ("ml", "amount", "", "This field is required."),
        ("ml", "amount", "0", "More than 0\u00a0ml is needed."),
        ("ml", "amount", "5 g", "is no unit for this"),
        ("pieces", "amount", "2.5", "A whole number is needed."),
        ("ml", "supply", "", "This field is required."),
        ("ml", "step", "0", "Select a valid choice."),
    ],
)
def test_bad_input_gets_a_sentence_and_stays(signed_in, member, project, unit, field, text, sentence):
    oil = SupplyFactory(shop=member.shop, unit=unit)
    response = write(signed_in(member), project, oil, **{"amount": "5", field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response).get(field, text) == text
    assert not Need.objects.exists()


@pytest.mark.parametrize("which", ["theirs", "removed"])
def test_a_supply_that_is_not_on_the_list_here_can_not_be_written_in(signed_in, member, project, which):
    other = SupplyFactory(
        **({} if which == "theirs" else {"shop": member.shop, "removed_at": timezone.now()})
    )
    assert write(signed_in(member), project, other).status_code == 422


def test_written_in_twice_it_stands_there_once(signed_in, member, project):
    client, sent, tape = signed_in(member), str(key()), SupplyFactory(shop=member.shop)
    for _ in range(2):
        assert write(client, project, tape, key=sent).status_code == 302
    assert Need.objects.count() == 1


# striking off


def strike(client, need, **more):
    return client.post(at("need-strike", need.shop, need.project.key, need.key), act(**more))


def test_a_line_is_struck_off_and_put_back(signed_in, member, project):
    client, need = signed_in(member), NeedFactory(project=project)
    assert strike(client, need, removed="yes").headers["Location"] == url_of(project)
    assert "Struck off" in words_of(client.get(url_of(project)))
    strike(client, need, removed="no")
    assert "Struck off" not in words_of(client.get(url_of(project)))


def test_what_the_block_wants_is_not_struck_off(signed_in, member, project):
    need, _ = of_resin(project, 500)
    assert strike(signed_in(member), need, removed="yes").status_code == 404
    assert "Strike it off" not in page(signed_in, member, project)


def test_struck_off_twice_is_told_once(signed_in, member, project):
    client, sent, need = signed_in(member), str(key()), NeedFactory(project=project)
    for _ in range(2):
        assert strike(client, need, key=sent, removed="yes").status_code == 302
    assert Event.objects.count() == 1


def test_struck_off_with_a_key_that_was_used_otherwise_is_refused(signed_in, member, project):
    client, sent, need = signed_in(member), str(key()), NeedFactory(project=project)
    strike(client, need, key=sent, removed="yes")
    response = strike(client, need, key=sent, removed="no")
    assert response.status_code == 422
    assert "This was already sent, with other figures." in words_of(response)
