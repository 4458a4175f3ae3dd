"""Whether the lists stay as quick with 10,000 rows as with 10, as multiples of an empty signed-in page.

    .venv/bin/python -m pytest tests/benchmarks/bench_lists.py -o python_files="bench_*.py" -q

Nothing here fails on a time: the numbers to compare are the ratios of one run.
"""

from datetime import timedelta

import pytest

from materials.models import Lot, Movement
from projects.models import Block, LogEntry, Project, Step
from tests.benchmarks.conftest import UNIT
from tests.factories import AT, Bench, MemberFactory
from tests.projects.pages import at

pytestmark = pytest.mark.django_db
FEW, MANY = 10, 10_000


class FullShop(Bench):
    """A shop with so many projects, each with a block and two steps, and so many lots with two lines."""

    def __init__(self, rows):
        super().__init__()
        self.made = {"shop": self.shop, "created_at": AT}
        self.fill_projects(rows)
        self.fill_shelf(rows)
        self.fill_log(rows)

    def fill_projects(self, rows):
        projects = Project.objects.bulk_create(
            Project(**self.made, code=f"P{n}", title=f"Panel {n}") for n in range(rows)
        )
        blocks = Block.objects.bulk_create(
            Block(**self.made, project=project, resin=self.resin) for project in projects
        )
        Step.objects.bulk_create(
            Step(**self.made, project=block.project, block=block, position=n, kind=kind, title=kind)
            for block in blocks
            for n, kind in enumerate(("seal", "pour"))
        )

    def fill_shelf(self, rows):
        kinds = {"kind": "resin", "unit": "g", "resin": self.resin, "received_on": AT.date()}
        lots = Lot.objects.bulk_create(
            Lot(**self.made, **kinds, part="AB"[n % 2], code=f"L-{n}") for n in range(rows)
        )
        Movement.objects.bulk_create(
            Movement(**self.made, lot=lot, kind=kind, thousandths=amount, happened_at=AT)
            for lot in lots
            for kind, amount in (("receive", 5_000_000), ("use", -1_000_000))
        )

    def fill_log(self, rows):
        LogEntry.objects.bulk_create(
            LogEntry(
                **self.made,
                kind="note",
                project=self.project,
                happened_at=AT + timedelta(minutes=n),
                raw_happened_at=AT,
                received_at=AT,
                member=self.member,
                text=f"note {n}",
                search=f"note {n}",
            )
            for n in range(rows)
        )


def test_an_empty_page(signed_in, measured):
    member = MemberFactory()
    client, address = signed_in(member), at("bench", member.shop)
    assert measured(UNIT, lambda: client.get(address), rounds=60, warmups=5).status_code == 200


@pytest.mark.parametrize("rows", [FEW, MANY])
@pytest.mark.parametrize(
    ("name", "address"),
    [
        ("Now", lambda shop: at("now", shop)),
        ("Projects", lambda shop: at("project-list", shop)),
        ("Shelf", lambda shop: f"/s/{shop.key}/shelf/"),
        ("Bench", lambda shop: at("bench", shop)),
        ("the log of the shop", lambda shop: at("river", shop)),
    ],
)
def test_a_list(signed_in, measured, rows, name, address):
    shop = FullShop(rows)
    client, url = signed_in(shop.member), address(shop.shop)
    said = f"{name}, {rows} rows of each kind"
    assert measured(said, lambda: client.get(url), rounds=15, warmups=2).status_code == 200
