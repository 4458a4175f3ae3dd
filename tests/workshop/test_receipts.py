"""An act is done once, however often and from however many phones it is sent."""

import pytest
from django.db import IntegrityError

from materials.models import Resin
from tests.factories import AT, LotFactory, MemberFactory, ResinFactory, ShopFactory, key
from tests.projects.threads import at_once
from workshop import receipts
from workshop.models import Receipt, Shop
from workshop.receipts import Conflict, Taken, digest_of
from workshop.refusals import Refused

FIGURES = {"a_g": "300"}


class Counted:
    """An act that counts how often it was done."""

    def __init__(self, url="/done/"):
        self.times, self.url = 0, url

    def __call__(self):
        self.times += 1
        return self.url


def send(member, act_key, act, content=None):
    return receipts.once(member, act_key, FIGURES if content is None else content, at=AT, act=act)


@pytest.mark.django_db
def test_an_act_sent_once_is_done_and_answered():
    member, act = MemberFactory(), Counted()
    assert send(member, key(), act) == receipts.Answer("/done/")
    assert act.times == 1


@pytest.mark.django_db
def test_an_act_sent_twice_is_done_once_and_answered_twice():
    member, act, sent = MemberFactory(), Counted(), key()
    answers = [send(member, sent, act), send(member, sent, act)]
    assert [answer.url for answer in answers] == ["/done/", "/done/"]
    assert [answer.known for answer in answers] == [False, True]
    assert act.times == Receipt.objects.count() == 1


@pytest.mark.django_db
def test_two_keys_are_two_acts():
    member, act = MemberFactory(), Counted()
    send(member, key(), act)
    send(member, key(), act)
    assert act.times == 2


@pytest.mark.django_db
def test_the_same_key_with_other_figures_is_refused():
    member, sent = MemberFactory(), key()
    send(member, sent, Counted())
    with pytest.raises(Conflict, match="already sent, with other figures"):
        send(member, sent, Counted(), {"a_g": "301"})


@pytest.mark.django_db
def test_the_same_key_from_another_member_is_refused():
    member, sent = MemberFactory(), key()
    send(member, sent, Counted())
    with pytest.raises(Conflict, match="already sent"):
        send(MemberFactory(shop=member.shop), sent, Counted())


@pytest.mark.django_db
def test_a_refused_conflict_changes_nothing():
    member, sent, other = MemberFactory(), key(), Counted()
    send(member, sent, Counted())
    with pytest.raises(Conflict, match="already sent"):
        send(member, sent, other, {"a_g": "301"})
    assert (other.times, Receipt.objects.count()) == (0, 1)


@pytest.mark.django_db
def test_another_shop_may_use_the_same_key():
    sent, act = key(), Counted()
    send(MemberFactory(), sent, act)
    send(MemberFactory(), sent, act)
    assert act.times == 2


@pytest.mark.django_db
def test_an_act_that_is_refused_leaves_no_receipt_and_can_be_sent_again():
    member, sent = MemberFactory(), key()

    def refuse():
        raise Refused("There is no mixed cup to pour.")

    with pytest.raises(Refused, match="no mixed cup"):
        send(member, sent, refuse)
    assert send(member, sent, Counted(), {"a_g": "301"}).known is False


@pytest.mark.django_db
def test_what_an_act_did_before_it_was_refused_is_undone():
    member = MemberFactory()

    def half():
        ShopFactory(name="half done")
        raise Refused("no")

    with pytest.raises(Refused, match="no"):
        send(member, key(), half)
    assert not Shop.objects.filter(name="half done").exists()


@pytest.mark.django_db
def test_a_code_taken_meanwhile_is_a_sentence():
    member = MemberFactory()
    LotFactory(shop=member.shop, code="A-01")
    with pytest.raises(Taken, match="Somebody stored the same name or code a moment ago"):
        send(member, key(), lambda: LotFactory(shop=member.shop, code="A-01"))


@pytest.mark.django_db
def test_a_fault_of_ours_is_not_hidden_as_a_sentence():
    member = MemberFactory()
    with pytest.raises(IntegrityError, match=r"(?i)check"):
        send(member, key(), lambda: ResinFactory(shop=member.shop, parts_a=0))


def test_a_fingerprint_does_not_depend_on_the_order_of_fields():
    assert digest_of({"a": 1, "b": [2]}) == digest_of({"b": [2], "a": 1})


def test_a_fingerprint_tells_figures_apart():
    assert digest_of({"a_g": "300"}) != digest_of({"a_g": "301"})


@pytest.mark.django_db(transaction=True)
def test_two_sendings_at_the_same_moment_are_one_act():
    member, sent, act = MemberFactory(), key(), Counted()
    answers = at_once(*[lambda: send(member, sent, act)] * 4)
    assert {answer.url for answer in answers} == {"/done/"}
    assert Receipt.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_what_a_late_twin_did_is_undone():
    """The loser of the race may have begun its act; only the winner's rows stay."""
    member, sent = MemberFactory(), key()

    def act():
        ResinFactory(shop=member.shop)
        return "/done/"

    at_once(*[lambda: send(member, sent, act)] * 4)
    assert Receipt.objects.count() == Resin.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_two_contents_at_the_same_moment_one_is_refused():
    member, sent = MemberFactory(), key()
    answers = at_once(
        lambda: send(member, sent, Counted()), lambda: send(member, sent, Counted(), {"a_g": "301"})
    )
    assert sorted(type(answer).__name__ for answer in answers) == ["Answer", "Conflict"]
