"""Days away on the page of the people: who enters whose, what a form says, and the way back."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.factories import AT, MemberFactory, key
from tests.projects.pages import act, words_of
from workshop.changes import absences
from workshop.models import Absence, Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return MemberFactory(shop__name="Tallow Yard", shop__zone="UTC")


@pytest.fixture
def joris(owner):
    return MemberFactory(shop=owner.shop, role="maker", name="Joris")


def at(member, path=""):
    return f"/s/{member.shop.key}/shop/people/{path}"


def day(ahead):
    return timezone.now().date() + timedelta(days=ahead)


def days(person, first=3, last=16, **more):
    return act(who=str(person.key), first_day=str(day(first)), last_day=str(day(last)), **more)


def entered(member, person, first=3, last=16):
    return absences.enter(member, person, day(first), day(last), at=timezone.now())


def test_an_owner_enters_anybodys_days(signed_in, owner, joris):
    client = signed_in(owner)
    response = client.post(at(owner, "away/"), days(joris, note="the sea"), follow=True)
    row = Absence.objects.get()
    assert (row.member, row.first_day, row.last_day, row.note) == (joris, day(3), day(16), "the sea")
    assert f"Joris {row.days}, the sea" in words_of(response)


def test_a_maker_enters_their_own_without_being_asked_who(signed_in, owner, joris):
    client = signed_in(joris)
    page = client.get(at(owner)).content.decode()
    assert 'type="hidden" name="who"' in page
    client.post(at(owner, "away/"), days(joris))
    assert Absence.objects.get().member == joris


def test_a_maker_enters_nobody_elses(signed_in, owner, joris):
    response = signed_in(joris).post(at(owner, "away/"), days(owner))
    assert response.status_code == 422
    assert "an owner enters anybody’s" in words_of(response)
    assert not Absence.objects.exists()


def test_a_viewer_reads_who_is_away_and_enters_nothing(signed_in, owner, joris):
    entered(owner, joris)
    viewer = MemberFactory(shop=owner.shop, role="viewer")
    client = signed_in(viewer)
    words = words_of(client.get(at(owner)))
    assert "Joris" in words
    assert "Take out" not in words
    assert client.post(at(owner, "away/"), days(viewer)).status_code == 403


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (5, 4, "The last day lies before the first."),
        (-9, -2, "These days are over already."),
        (1, 400, "That is longer than a year."),
        (800, 801, "That is more than two years ahead."),
    ],
)
def test_days_that_can_not_be_right_get_a_sentence_and_stay(signed_in, owner, first, last, said):
    response = signed_in(owner).post(at(owner, "away/"), days(owner, first, last))
    assert response.status_code == 422
    assert said in words_of(response)
    assert str(day(first)) in response.content.decode()
    assert not Absence.objects.exists()


def test_days_that_began_before_today_are_taken(signed_in, owner):
    signed_in(owner).post(at(owner, "away/"), days(owner, -5, 0))
    assert Absence.objects.get().first_day == day(-5)


@pytest.mark.parametrize("who", ["", "nobody", "stranger", "gone"])
def test_who_does_not_work_here_gets_a_sentence(signed_in, owner, joris, who):
    gone = MemberFactory(shop=owner.shop, left_at=AT)
    keys = {"stranger": str(MemberFactory().key), "gone": str(gone.key)}
    response = signed_in(owner).post(at(owner, "away/"), {**days(owner), "who": keys.get(who, who)})
    assert response.status_code == 422
    assert "Choose somebody who works in this shop." in words_of(response) or not who
    assert not Absence.objects.exists()


def test_days_without_a_date_ask_for_one(signed_in, owner):
    response = signed_in(owner).post(at(owner, "away/"), {**days(owner), "last_day": "soon"})
    assert response.status_code == 422
    assert not Absence.objects.exists()


def test_the_same_days_stand_once(signed_in, owner, joris):
    entered(owner, joris)
    response = signed_in(owner).post(at(owner, "away/"), days(joris))
    assert response.status_code == 422
    assert "These very days stand there already." in words_of(response)


def test_days_sent_twice_are_entered_once(signed_in, owner):
    client, sent = signed_in(owner), days(owner)
    assert [client.post(at(owner, "away/"), sent).status_code for _ in range(2)] == [302, 302]
    assert Absence.objects.count() == 1


def test_days_are_taken_out_and_put_back(signed_in, owner, joris):
    row, client = entered(owner, joris), signed_in(joris)
    words = words_of(client.post(at(owner, f"away/{row.key}/take-out/"), act(), follow=True))
    assert f"Joris’s days away are taken out: {row.days}." in words
    assert not Absence.objects.kept().exists()
    words = words_of(client.post(at(owner, f"away/{row.key}/put-back/"), act(), follow=True))
    assert "are taken out" not in words
    assert Absence.objects.kept().get() == row
    assert list(Event.objects.order_by("pk").values_list("verb", flat=True)) == [
        absences.ENTERED, absences.TAKEN_OUT, absences.PUT_BACK,
    ]  # fmt: skip


def test_taken_out_twice_is_one_line_of_history(owner, joris):
    row = entered(owner, joris)
    for _ in range(2):
        absences.take_out(owner, row, at=AT)
    assert Event.objects.filter(verb=absences.TAKEN_OUT).count() == 1


def test_days_entered_anew_meanwhile_are_not_put_back_beside_them(signed_in, owner, joris):
    row = entered(owner, joris)
    absences.take_out(owner, row, at=timezone.now())
    entered(owner, joris)
    response = signed_in(owner).post(at(owner, f"away/{row.key}/put-back/"), act())
    assert response.status_code == 422
    assert "These very days stand there already." in words_of(response)


def test_a_maker_takes_out_nobody_elses(signed_in, owner, joris):
    row = entered(owner, owner)
    response = signed_in(joris).post(at(owner, f"away/{row.key}/take-out/"), act())
    assert response.status_code == 422
    assert "Only an owner can do this for somebody else." in words_of(response)
    assert Absence.objects.kept().exists()


def test_who_left_meanwhile_can_not_be_away(owner, joris):
    joris.left_at = AT
    joris.save()
    with pytest.raises(Refused, match="has left the shop"):
        entered(owner, joris)


def test_history_tells_it_in_words(signed_in, owner, joris):
    row = entered(owner, joris)
    words = words_of(signed_in(owner).get(f"/s/{owner.shop.key}/shop/history/"))
    first, last = (f"{each.day} {each:%B %Y}" for each in (row.first_day, row.last_day))
    assert f"entered days away: Joris, {first} to {last}" in words


@pytest.mark.parametrize("path", ["take-out", "put-back"])
def test_days_of_nobody_here_are_no_page(signed_in, owner, path):
    stranger = MemberFactory(shop__zone="UTC")
    row = entered(stranger, stranger)
    for name in (row.key, key()):
        assert signed_in(owner).post(at(owner, f"away/{name}/{path}/"), act()).status_code == 404


@pytest.mark.parametrize("path", ["away/", "away/{key}/take-out/", "away/{key}/put-back/"])
def test_days_away_are_only_sent(signed_in, owner, path):
    row = entered(owner, owner)
    assert signed_in(owner).get(at(owner, path.format(key=row.key))).status_code == 405


@pytest.mark.parametrize("count", [1, 12])
def test_the_page_asks_the_same_of_the_database_however_many_are_away(
    signed_in, owner, count, django_assert_num_queries
):
    for person in MemberFactory.create_batch(count, shop=owner.shop):
        entered(owner, person)
    client = signed_in(owner)
    with django_assert_num_queries(
        7
    ):  # session, user, member and shop, people, links, days away, what was last
        client.get(at(owner))
