"""Two owners who act at the same moment: the shop keeps one."""

import threading

import pytest
from django.db import connection

from tests.factories import AT, MemberFactory, UserFactory, key
from workshop.changes import people
from workshop.models import Member
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*deeds):
    """Run the deeds in threads that start together; what each was refused with."""
    start, refused = threading.Barrier(len(deeds)), []

    def run(deed):
        start.wait()
        try:
            deed()
        except Refused as refusal:
            refused.append(str(refusal))
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=[deed]) for deed in deeds]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    return refused


def test_of_two_last_owners_who_leave_at_once_one_stays():
    one = MemberFactory()
    other = MemberFactory(shop=one.shop)
    refused = at_once(lambda: people.leave(one, at=AT), lambda: people.leave(other, at=AT))
    assert len(refused) == 1
    assert Member.objects.owners().of(one.shop).count() == 1


def test_two_owners_who_remove_each_other_leave_one():
    one = MemberFactory()
    other = MemberFactory(shop=one.shop)
    refused = at_once(lambda: people.remove(one, other, at=AT), lambda: people.remove(other, one, at=AT))
    assert len(refused) == 1
    assert Member.objects.owners().of(one.shop).count() == 1


def test_of_two_who_use_a_link_at_once_one_comes_in():
    owner = MemberFactory()
    row = people.invite(owner, key=key(), role="maker", for_whom="", at=AT)
    users = [UserFactory(), UserFactory()]
    refused = at_once(*(lambda user=user: people.join(user, row, at=AT) for user in users))
    assert len(refused) == 1
    assert Member.objects.of(owner.shop).count() == 2
