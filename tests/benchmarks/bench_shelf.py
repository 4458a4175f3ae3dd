"""How long the shelf takes with ten lots and with ten thousand, as multiples of an empty signed-in page.

    .venv/bin/python -m pytest tests/benchmarks -o python_files="bench_*.py" -q

Nothing here fails on a time. The lots are spread over forty resins, woods and supplies, some of each wanted.
"""

from datetime import timedelta

import pytest
from django.urls import reverse

from materials.models import Lot, Movement
from tests.benchmarks.conftest import UNIT
from tests.factories import (
    AT,
    MemberFactory,
    NeedFactory,
    ProjectFactory,
    ResinFactory,
    SpeciesFactory,
    SupplyFactory,
)
from tests.projects.pages import at

pytestmark = pytest.mark.django_db
PRODUCTS, WANTED = 40, 5


def fill(shop, count):
    """So many lots of all kinds, each with what came in."""
    made = {"shop": shop, "created_at": AT}
    resins = ResinFactory.create_batch(PRODUCTS, shop=shop, shelf_months_open=12)
    woods = SpeciesFactory.create_batch(PRODUCTS, shop=shop)
    tins = SupplyFactory.create_batch(PRODUCTS, shop=shop, kind="finish", unit="ml")
    kinds = [
        lambda n: {"kind": "resin", "resin": resins[n % PRODUCTS], "part": "AB"[n % 2], "unit": "g"},
        lambda n: {"kind": "wood", "species": woods[n % PRODUCTS], "unit": "strips", "thickness_mm": 2},
        lambda n: {"kind": "finish", "supply": tins[n % PRODUCTS], "unit": "ml"},
    ]
    lots = [
        Lot(
            **made,
            **kinds[n % 3](n),
            code=f"Q-{n}",
            received_on=AT.date(),
            use_by=AT.date() + timedelta(500 + n % 900),
        )
        for n in range(count)
    ]
    for lot in lots:
        lot.search = lot.searched()
    Movement.objects.bulk_create(
        Movement(**made, lot=lot, kind="receive", thousandths=5000, happened_at=AT)
        for lot in Lot.objects.bulk_create(lots)
    )
    project = ProjectFactory(shop=shop)
    for resin, tin in zip(resins[:WANTED], tins[:WANTED], strict=True):
        NeedFactory(project=project, supply=tin, thousandths=9_000_000)
        NeedFactory(project=project, supply=None, resin=resin, part="A", unit="g", thousandths=9_000_000)


def test_an_empty_page(signed_in, measured):
    member = MemberFactory()
    client, address = signed_in(member), at("bench", member.shop)
    assert measured(UNIT, lambda: client.get(address), rounds=60, warmups=5).status_code == 200


@pytest.mark.parametrize("lots", [10, 10_000])
@pytest.mark.parametrize("asked", ["", "?kind=bottles", "?find=tarn"])
def test_the_shelf(signed_in, measured, lots, asked):
    member = MemberFactory()
    fill(member.shop, lots)
    client, address = signed_in(member), reverse("materials:shelf", args=[member.shop.key]) + asked
    name = f"the shelf{asked and ' ' + asked}, {lots} lots"
    assert measured(name, lambda: client.get(address), rounds=20, warmups=2).status_code == 200
