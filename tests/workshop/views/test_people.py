"""The pages of the people: who may see and do what, and what a form says."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.factories import AT, MemberFactory, key
from tests.projects.pages import act, words_of
from workshop.changes import people
from workshop.models import Event, Invitation, Member

pytestmark = pytest.mark.django_db
FRAGMENT = {"HX-Request": "true"}


@pytest.fixture
def owner():
    return MemberFactory(shop__name="Tallow Yard")


@pytest.fixture
def joris(owner):
    return MemberFactory(shop=owner.shop, role="maker", name="Joris", user__email="joris@example.org")


def at(member, path=""):
    return f"/s/{member.shop.key}/shop/people/{path}"


def invited(owner, **more):
    return people.invite(owner, key=key(), role="maker", for_whom="Joris", at=timezone.now(), **more)


def refresh(row):
    row.refresh_from_db()
    return row


def test_the_page_tells_who_is_here_who_was_and_what_is_out(signed_in, owner, joris):
    MemberFactory(shop=owner.shop, name="Maud", left_at=AT)
    MemberFactory(name="Stranger")
    invited(owner)
    words = words_of(signed_in(owner).get(at(owner)))
    assert "Joris maker · joris@example.org" in words
    assert "Take Maud in again" in words
    assert "Joris as maker, until" in words
    assert "Stranger" not in words


def test_a_maker_reads_it_without_the_buttons(signed_in, owner, joris):
    MemberFactory(shop=owner.shop, name="Maud", left_at=AT)
    words = words_of(signed_in(joris).get(at(owner)))
    assert "Ines owner" in words
    assert "Ask somebody in" not in words
    assert "Take Maud in again" not in words


@pytest.mark.parametrize("count", [1, 12])
def test_the_page_asks_the_same_of_the_database_however_many_work_here(
    signed_in, owner, count, django_assert_num_queries
):
    MemberFactory.create_batch(count, shop=owner.shop)
    MemberFactory.create_batch(count, shop=owner.shop, left_at=AT)
    for _ in range(count):
        invited(owner)
    client = signed_in(owner)
    with django_assert_num_queries(
        7
    ):  # session, user, member and shop, people, links, days away, the last of them
        client.get(at(owner))


# asking somebody in


def test_an_owner_gets_a_link_to_hand_over(signed_in, owner):
    client = signed_in(owner)
    response = client.post(at(owner, "invite/"), act(role="viewer", for_whom="Maud"), follow=True)
    row = Invitation.objects.get()
    assert (row.role, row.for_whom) == ("viewer", "Maud")
    assert "http://testserver/join/" in response.content.decode()


@pytest.mark.parametrize(
    ("host", "said"), [("127.0.0.1:8000", True), ("localhost", True), ("testserver", False)]
)
def test_a_link_says_where_it_opens_on_this_computer_alone(signed_in, owner, host, said):
    response = signed_in(owner).get(at(owner, f"invitations/{invited(owner).key}/"), headers={"host": host})
    assert ("this computer only" in words_of(response)) == said
    assert f'value="http://{host}/join/' in response.content.decode()


def test_an_invitation_sent_twice_is_one_link(signed_in, owner):
    client, sent = signed_in(owner), act(role="maker", for_whom="Maud")
    one, other = (client.post(at(owner, "invite/"), sent) for _ in range(2))
    assert one.headers["Location"] == other.headers["Location"]
    assert Invitation.objects.count() == 1


def test_with_script_the_answer_is_where_to_go(signed_in, owner):
    response = signed_in(owner).post(at(owner, "invite/"), act(role="maker"), headers=FRAGMENT)
    assert response.status_code == 204
    assert "/people/invitations/" in response.headers["HX-Redirect"]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"role": "king"}, "Select a valid choice."),
        ({"role": ""}, "This field is required."),
        ({"role": "maker", "for_whom": "x" * 81}, "at most 80 characters"),
    ],
)
def test_a_wrong_invitation_gets_a_sentence(signed_in, owner, typed, sentence):
    response = signed_in(owner).post(at(owner, "invite/"), act(**typed))
    assert response.status_code == 422
    assert sentence in words_of(response)
    assert not Invitation.objects.exists()


def test_a_link_taken_back_is_shown_no_more(signed_in, owner):
    row, client = invited(owner), signed_in(owner)
    client.post(at(owner, f"invitations/{row.key}/take-back/"), act())
    assert b"/join/" not in client.get(at(owner, f"invitations/{row.key}/")).content


def test_a_used_link_that_is_taken_back_says_so(signed_in, owner, joris):
    row = invited(owner)
    Invitation.objects.update(used_at=AT, used_by=joris)
    response = signed_in(owner).post(at(owner, f"invitations/{row.key}/take-back/"), act())
    assert response.status_code == 422
    assert "was used a moment ago" in words_of(response)


def test_after_a_change_of_the_secret_an_older_link_is_not_shown(signed_in, owner):
    row = invited(owner)
    Invitation.objects.update(token_hash="of another secret")
    assert b"/join/" not in signed_in(owner).get(at(owner, f"invitations/{row.key}/")).content


# parts, leaving, removing


def test_an_owner_gives_another_part(signed_in, owner, joris):
    response = signed_in(owner).post(at(owner, f"{joris.key}/"), act(role="owner", why="runs it now"))
    assert response.headers["Location"] == at(owner)
    assert refresh(joris).role == "owner"
    assert Event.objects.get().why == "runs it now"


def test_the_last_owner_gets_a_sentence_and_keeps_what_was_typed(signed_in, owner):
    response = signed_in(owner).post(at(owner, f"{owner.key}/"), act(role="viewer", why="tired"))
    assert response.status_code == 422
    assert "This is the only owner." in words_of(response)
    assert b'value="tired"' in response.content
    assert refresh(owner).role == "owner"


def test_who_is_removed_finds_no_page_from_the_next_one_on(signed_in, owner, joris, client):
    page = f"/s/{owner.shop.key}/now/"
    assert signed_in(joris).get(page).status_code == 200
    people.remove(owner, joris, at=timezone.now())
    assert client.get(page).status_code == 404


def test_removing_asks_first(signed_in, owner, joris):
    assert "Remove Joris?" in words_of(signed_in(owner).get(at(owner, f"{joris.key}/remove/")))
    assert refresh(joris).left_at is None


def test_removing_twice_is_once(signed_in, owner, joris):
    client, sent = signed_in(owner), act(why="moved away")
    for _ in range(2):
        assert client.post(at(owner, f"{joris.key}/remove/"), sent).status_code == 302
    assert refresh(joris).left_at
    assert Event.objects.count() == 1


def test_who_was_removed_is_taken_in_again(signed_in, owner, joris):
    people.remove(owner, joris, at=AT)
    signed_in(owner).post(at(owner, f"{joris.key}/take-in/"), act())
    assert refresh(joris).left_at is None


def test_a_viewer_may_leave(signed_in, owner):
    viewer = MemberFactory(shop=owner.shop, role="viewer")
    response = signed_in(viewer).post(f"/s/{owner.shop.key}/shop/leave/", act(why="enough"))
    assert response.headers["Location"] == "/"
    assert refresh(viewer).left_at


def test_the_last_owner_who_would_leave_gets_a_sentence(signed_in, owner, joris):
    response = signed_in(owner).post(f"/s/{owner.shop.key}/shop/leave/", act())
    assert response.status_code == 422
    assert "Make somebody else an owner first." in words_of(response)
    assert Member.objects.get(pk=owner.pk).left_at is None


@pytest.mark.parametrize("role", ["maker", "viewer"])
@pytest.mark.parametrize("path", ["invite/", "{key}/", "{key}/remove/", "{key}/take-in/"])
def test_only_owners_decide(signed_in, owner, joris, role, path):
    other = MemberFactory(shop=owner.shop, role=role)
    response = signed_in(other).post(at(owner, path.format(key=joris.key)), act(role="owner"))
    assert response.status_code == 403
    assert refresh(joris).role == "maker"


def test_an_old_link_is_not_among_those_that_are_out(signed_in, owner):
    invited(owner)
    Invitation.objects.update(expires_at=timezone.now() - timedelta(minutes=1))
    assert "Links that are out" not in words_of(signed_in(owner).get(at(owner)))
