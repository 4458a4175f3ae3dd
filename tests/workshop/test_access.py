"""Who may see and do what, at the one gate that every view of a shop has."""

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.utils import timezone

from materials.models import Resin
from tests.factories import AT, MemberFactory, ResinFactory
from workshop.access import get_row, owners_only, shop_view
from workshop.models import Member

pytestmark = pytest.mark.django_db


@shop_view
def page(request):
    return HttpResponse(
        f"{request.member.name} in {request.shop.name}, {timezone.get_current_timezone_name()}"
    )


def ask(rf, member, method="get", shop=None):
    request = getattr(rf, method)("/")
    request.user = member.user
    return page(request, shop=(shop or member.shop).key)


def test_a_member_is_let_in_with_shop_and_clock(rf):
    member = MemberFactory(shop__name="Tallow Yard", shop__zone="Asia/Tokyo")
    with timezone.override(None):
        assert ask(rf, member).content == b"Ines in Tallow Yard, Asia/Tokyo"


def test_a_member_of_another_shop_finds_no_such_page(rf):
    with pytest.raises(Http404, match="No such page"):
        ask(rf, MemberFactory(), shop=MemberFactory().shop)


def test_who_has_left_finds_no_such_page(rf):
    with pytest.raises(Http404, match="No such page"):
        ask(rf, MemberFactory(left_at=AT))


@pytest.mark.parametrize("method", ["get", "head", "options"])
def test_a_viewer_may_look(rf, method):
    assert ask(rf, MemberFactory(role="viewer"), method).status_code == 200


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
def test_a_viewer_may_not_change(rf, method):
    with pytest.raises(PermissionDenied, match="You can look at everything here, but not change it"):
        ask(rf, MemberFactory(role="viewer"), method)


@pytest.mark.parametrize("role", ["owner", "maker"])
def test_owners_and_makers_may_change(rf, role):
    assert ask(rf, MemberFactory(role=role), "post").status_code == 200


@pytest.mark.parametrize(("role", "may"), [("owner", True), ("maker", True), ("viewer", False)])
def test_a_role_says_whether_one_may_write(role, may):
    assert Member(role=role).may_write is may


def test_an_owner_decides(rf):
    request = rf.post("/")
    request.member = MemberFactory(role="owner")
    assert owners_only(request) is None


@pytest.mark.parametrize("role", ["maker", "viewer"])
def test_others_do_not_decide(rf, role):
    request = rf.post("/")
    request.member = MemberFactory(role=role)
    with pytest.raises(PermissionDenied, match="Only an owner of the shop can change this"):
        owners_only(request)


def test_a_row_is_found_in_ones_shop(rf):
    resin, request = ResinFactory(), rf.get("/")
    request.shop = resin.shop
    assert get_row(Resin.objects.all(), request, resin.key) == resin


def test_a_row_of_another_shop_is_not_found(rf):
    resin, request = ResinFactory(), rf.get("/")
    request.shop = MemberFactory().shop
    with pytest.raises(Http404, match="No such page"):
        get_row(Resin.objects.all(), request, resin.key)
