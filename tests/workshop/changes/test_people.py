"""Coming into a shop, parts in it, going; and that it is never left without an owner."""

from datetime import timedelta

import pytest

from tests.factories import AT, MemberFactory, UserFactory, key
from workshop import tokens
from workshop.changes import people
from workshop.models import Event, Invitation, Member
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return MemberFactory(shop__name="Tallow Yard")


def invited(owner, role="maker", at=AT):
    return people.invite(owner, key=key(), role=role, for_whom="Joris", at=at)


def verbs():
    return list(Event.objects.order_by("pk").values_list("verb", flat=True))


def test_the_table_holds_no_secret_of_a_link(owner):
    row = invited(owner)
    token = tokens.of_invitation(row.key)
    assert row.token_hash == tokens.fingerprint(token)
    assert token not in str(Invitation.objects.filter(pk=row.pk).values().get())


def test_two_links_have_two_secrets(owner):
    assert tokens.of_invitation(invited(owner).key) != tokens.of_invitation(invited(owner).key)


def test_the_secret_of_a_link_needs_that_of_the_installation(owner, settings):
    row = invited(owner)
    before = tokens.of_invitation(row.key)
    settings.SECRET_KEY = "another" * 10
    assert tokens.of_invitation(row.key) != before


def test_a_link_makes_a_member_with_its_part(owner):
    member = people.join(UserFactory(name="Joris"), invited(owner, "viewer"), at=AT)
    assert (member.name, member.role, member.shop) == ("Joris", "viewer", owner.shop)


def test_a_link_lets_one_person_in(owner):
    row = invited(owner)
    people.join(UserFactory(), row, at=AT)
    with pytest.raises(people.LinkIsSpent, match="can't be used any more"):
        people.join(UserFactory(), row, at=AT)


def test_the_same_person_may_press_twice(owner):
    row, user = invited(owner), UserFactory()
    assert people.join(user, row, at=AT) == people.join(user, row, at=AT)


@pytest.mark.parametrize(("days", "good"), [(6.99, True), (7.01, False)])
def test_a_link_is_good_for_seven_days(owner, days, good):
    assert invited(owner).is_open(AT + timedelta(days=days)) == good


def test_a_link_that_ran_out_lets_nobody_in(owner):
    with pytest.raises(people.LinkIsSpent, match="can't be used any more"):
        people.join(UserFactory(), invited(owner), at=AT + timedelta(days=8))


def test_a_link_taken_back_lets_nobody_in(owner):
    row = invited(owner)
    people.revoke(owner, row, at=AT)
    with pytest.raises(people.LinkIsSpent, match="can't be used any more"):
        people.join(UserFactory(), row, at=AT)


def test_a_used_link_can_not_be_taken_back(owner):
    row = invited(owner)
    people.join(UserFactory(), row, at=AT)
    with pytest.raises(people.LinkIsSpent, match="was used a moment ago"):
        people.revoke(owner, row, at=AT)


def test_taking_back_twice_is_one_line_of_history(owner):
    row = invited(owner)
    people.revoke(owner, row, at=AT)
    people.revoke(owner, row, at=AT)
    assert verbs() == ["invited", "took back the invitation of"]


def test_who_is_in_already_leaves_the_link_good(owner):
    row, joris = invited(owner), MemberFactory(shop=owner.shop)
    with pytest.raises(people.AlreadyIn, match="still good for somebody else"):
        people.join(joris.user, row, at=AT)
    row.refresh_from_db()
    assert row.is_open(AT)


def test_who_left_comes_back_as_what_the_link_says(owner):
    gone = MemberFactory(shop=owner.shop, role="owner", left_at=AT)
    people.join(gone.user, invited(owner, "viewer"), at=AT)
    gone.refresh_from_db()
    assert (gone.role, gone.left_at) == ("viewer", None)


def test_an_account_and_its_place_come_together_or_not_at_all(owner):
    row = invited(owner)
    people.revoke(owner, row, at=AT)
    typed = {"email": "joris@example.org", "password": "resin-and-rain", "name": "Joris"}
    with pytest.raises(people.LinkIsSpent, match="can't be used any more"):
        people.open_account(row, at=AT, **typed)
    assert not Member.objects.filter(user__email="joris@example.org").exists()


def test_another_part_is_in_history_with_its_reason(owner):
    joris = MemberFactory(shop=owner.shop, role="viewer", name="Joris")
    people.change_role(owner, joris, "maker", at=AT, why="knows the saw now")
    event = Event.objects.get()
    assert (event.verb, event.before, event.after) == (
        "changed the part of",
        {"role": "viewer"},
        {"role": "maker"},
    )
    assert event.why == "knows the saw now"


def test_the_same_part_again_is_no_change(owner):
    people.change_role(owner, owner, "owner", at=AT)
    assert verbs() == []


@pytest.mark.parametrize(
    "deed",
    [
        lambda owner: people.leave(owner, at=AT),
        lambda owner: people.remove(owner, owner, at=AT),
        lambda owner: people.change_role(owner, owner, "maker", at=AT),
    ],
    ids=["leaving", "removing", "another part"],
)
def test_the_last_owner_stays_one(owner, deed):
    MemberFactory(shop=owner.shop, role="maker")
    MemberFactory(shop=owner.shop, role="owner", left_at=AT)
    MemberFactory(role="owner")
    with pytest.raises(people.LastOwner, match="the only owner"):
        deed(owner)
    owner.refresh_from_db()
    assert (owner.role, owner.left_at) == ("owner", None)


def test_one_of_two_owners_may_leave(owner):
    MemberFactory(shop=owner.shop)
    people.leave(owner, at=AT)
    owner.refresh_from_db()
    assert owner.left_at == AT


def test_who_was_removed_a_moment_ago_decides_nothing(owner):
    other = MemberFactory(shop=owner.shop)
    people.remove(owner, other, at=AT)
    with pytest.raises(Refused, match="no longer an owner"):
        people.change_role(other, owner, "viewer", at=AT)


@pytest.mark.parametrize("how", ["removed", "demoted"])
def test_who_no_longer_decides_has_no_links_out(owner, how):
    other = MemberFactory(shop=owner.shop)
    row = invited(other)
    if how == "removed":
        people.remove(owner, other, at=AT)
    else:
        people.change_role(owner, other, "maker", at=AT)
    row.refresh_from_db()
    assert not row.is_open(AT)


def test_who_was_removed_can_be_taken_in_again(owner):
    joris = MemberFactory(shop=owner.shop, role="maker")
    people.remove(owner, joris, at=AT, why="moved away")
    people.take_in_again(owner, joris, at=AT)
    people.take_in_again(owner, joris, at=AT)
    joris.refresh_from_db()
    assert joris.left_at is None
    assert verbs() == ["removed from the shop", "took in again"]


def test_removing_twice_says_so(owner):
    joris = MemberFactory(shop=owner.shop, role="maker")
    people.remove(owner, joris, at=AT)
    with pytest.raises(Refused, match="has left the shop already"):
        people.remove(owner, joris, at=AT)
