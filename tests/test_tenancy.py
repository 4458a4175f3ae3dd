"""Every row belongs to one shop, and so does all that it points to."""

import pytest
from django.apps import apps
from django.db import IntegrityError, models, transaction
from django.db.models import UniqueConstraint

from tests.factories import ResinFactory
from tests.thread import Thread
from workshop.models.base import ShopRow

ROWS = [model for model in apps.get_models() if issubclass(model, ShopRow)]
OURS = ["workshop", "materials", "projects"]
NO_ROWS_OF_A_SHOP = {"User", "Shop", "PasswordReset"}


@pytest.fixture
def shops(db, monkeypatch):
    """Two shops in which the whole thread was run, so that a row of the wrong one exists to be found."""
    monkeypatch.setattr("projects.sheets.render", lambda sheet: b"%PDF-1.7 made for a test")
    return [Thread().shop, Thread().shop]


def pointers(model):
    """The fields of a model that point to rows of a shop."""
    links = [*model._meta.fields, *model._meta.many_to_many]
    return [link for link in links if link.remote_field and issubclass(link.remote_field.model, ShopRow)]


def targets(row, link):
    """The rows that one field of a row points to."""
    if link.many_to_many:
        return list(getattr(row, link.name).all())
    target = getattr(row, link.name)
    return [] if target is None else [target]


def test_every_model_but_users_their_resets_and_shops_is_a_row_of_a_shop():
    models_ = [model for app in OURS for model in apps.get_app_config(app).get_models()]
    assert {model.__name__ for model in models_ if not issubclass(model, ShopRow)} == NO_ROWS_OF_A_SHOP


@pytest.mark.parametrize("model", ROWS, ids=lambda model: model.__name__)
def test_a_shop_has_each_key_once(model):
    unique = [c for c in model._meta.constraints if isinstance(c, UniqueConstraint)]
    assert ("shop", "key") in {constraint.fields for constraint in unique}


@pytest.mark.parametrize("model", ROWS, ids=lambda model: model.__name__)
def test_a_shop_with_rows_can_not_be_taken_away(model):
    assert model._meta.get_field("shop").remote_field.on_delete is models.PROTECT


@pytest.mark.django_db
def test_the_database_refuses_a_key_twice():
    resin = ResinFactory()
    with pytest.raises(IntegrityError, match="(?i)unique"), transaction.atomic():
        ResinFactory(shop=resin.shop, key=resin.key)


@pytest.mark.django_db
def test_another_shop_may_have_the_same_key():
    assert ResinFactory(key=ResinFactory().key).pk


def test_the_thread_leaves_a_row_of_every_kind_but_receipts(shops):
    """Else the walk below would prove nothing for that kind. Receipts are written by forms."""
    counts = {model.__name__: model.objects.of(shops[0]).count() for model in ROWS}
    assert {name for name, count in counts.items() if not count} == {"Receipt"}


def test_all_that_a_row_points_to_is_of_its_shop(shops):
    wrong = [
        f"{row._meta.label} {row.pk}.{link.name}"
        for model in ROWS
        for row in model.objects.all()
        for link in pointers(model)
        for target in targets(row, link)
        if target.shop_id != row.shop_id
    ]
    assert wrong == []


def test_who_made_a_row_works_in_its_shop(shops):
    wrong = [
        f"{row._meta.label} {row.pk}"
        for model in ROWS
        for row in model.objects.select_related("created_by")
        if row.created_by is None or not row.created_by.memberships.filter(shop_id=row.shop_id).exists()
    ]
    assert wrong == []


def test_history_speaks_of_rows_of_its_shop(shops):
    from workshop.models import Event

    for shop in shops:
        known = {key for model in ROWS for key in model.objects.of(shop).values_list("key", flat=True)}
        assert {event.target_key for event in Event.objects.of(shop)} <= known | {shop.key}
