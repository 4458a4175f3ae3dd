"""Founding a shop, and changing it."""

import pytest

from tests.factories import AT, MemberFactory, UserFactory
from tests.projects.threads import at_once
from workshop import actions
from workshop.actions import AlreadySetUp
from workshop.models import Event, Member, Shop, User


def set_up(email="ines@example.org"):
    return actions.set_up(
        email=email, password="bog-oak-and-amber", name="Ines", shop_name="Tallow Yard", zone="UTC", at=AT
    )


@pytest.mark.django_db
def test_a_new_shop_has_its_founder_as_owner():
    member = actions.found_shop(user=UserFactory(name="Maud"), shop_name="Tallow Yard", zone="UTC", at=AT)
    assert (member.role, member.name, member.shop.name) == ("owner", "Maud", "Tallow Yard")


@pytest.mark.django_db
def test_every_room_furnishes_a_new_shop(monkeypatch):
    furnished = []
    monkeypatch.setattr(actions, "FOUNDING", [lambda shop, member, at: furnished.append((shop.name, at))])
    actions.found_shop(user=UserFactory(), shop_name="Tallow Yard", zone="UTC", at=AT)
    assert furnished == [("Tallow Yard", AT)]


@pytest.mark.django_db
def test_one_person_may_found_two_shops():
    user = UserFactory()
    for name in ("Tallow Yard", "Tallow Barn"):
        actions.found_shop(user=user, shop_name=name, zone="UTC", at=AT)
    assert user.memberships.count() == 2


@pytest.mark.django_db
def test_an_installation_is_set_up_once():
    set_up()
    with pytest.raises(AlreadySetUp, match="This installation has been set up. Sign in instead"):
        set_up("joris@example.org")


@pytest.mark.django_db(transaction=True)
def test_of_two_first_visitors_at_the_same_moment_one_founds_the_shop():
    answers = at_once(*[lambda n=n: set_up(f"first{n}@example.org") for n in range(4)])
    assert sorted(type(answer).__name__ for answer in answers) == ["AlreadySetUp"] * 3 + ["Member"]
    assert Shop.objects.count() == User.objects.count() == Member.objects.count() == 1


@pytest.mark.django_db
def test_a_change_keeps_what_was_before():
    member = MemberFactory(shop__name="Tallow Yard")
    actions.change_shop(member, {"name": "Tallow Barn", "day_c": 20.0}, at=AT)
    event = Event.objects.get()
    assert (event.verb, event.at) == ("changed the shop", AT)
    assert (event.before, event.after) == ({"name": "Tallow Yard"}, {"name": "Tallow Barn"})


@pytest.mark.django_db
def test_no_change_is_no_history():
    member = MemberFactory(shop__name="Tallow Yard")
    actions.change_shop(member, {"name": "Tallow Yard"}, at=AT)
    assert not Event.objects.exists()


@pytest.mark.django_db
def test_two_changes_of_different_settings_both_stay():
    """Each saves what it changed, not the row as it was read."""
    one = MemberFactory(shop__name="Tallow Yard")
    other = Member.objects.select_related("shop").get(pk=one.pk)
    actions.change_shop(one, {"name": "Tallow Barn"}, at=AT)
    actions.change_shop(other, {"currency": "USD"}, at=AT)
    shop = Shop.objects.get()
    assert (shop.name, shop.currency) == ("Tallow Barn", "USD")
