"""How often each page asks the database: pinned, and the same however much there is to show.

Three of the questions are those of every page: the session, the person, the member with the shop.
"""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from projects.actions import bench as acts
from projects.actions import coat, demould, failures, glue, lessons, mould, sanding, seal, strips, work
from projects.models import Cause, Timer
from tests.built_once import built_once
from tests.factories import (
    AT,
    BlockFactory,
    BundleFactory,
    CheckItemFactory,
    LessonFactory,
    LotFactory,
    MachineFactory,
    ProjectFactory,
    SpeciesFactory,
    StepFactory,
    TinFactory,
    key,
    moment,
)
from tests.projects.pages import FRAGMENT, photo
from tests.projects.room import Room
from workshop import pictures

pytestmark = pytest.mark.django_db


class Filled(Room):
    """A room with so many of each thing that a page lists."""

    def __init__(self, size):
        super().__init__()
        for n in range(size):
            self.pour_once(100 * n)
            self.do_acts(100 * n + 10)
            self.fill(n)
            self.go_wrong(100 * n + 50)
        for n in range(size):  # cups that wait
            self.batch = self.meet(minutes=5000 + n)
        self.timer = self.batch.timers.get()

    def do_acts(self, minutes):
        """Each act once more, with bundles, tins and machines to choose from, and readings in the log."""
        bundle, tin = BundleFactory(shop=self.shop), TinFactory(shop=self.shop)
        for kind in ("mould", "sander"):
            MachineFactory(shop=self.shop, kind=kind)
        air = {"temp_c": 20.0, "humidity_percent": 45.0}
        for act, name, values in (
            (strips.load_strips, "strips", {"lot": bundle, "count": 5}),
            (seal.seal_coat, "seal", {**air, "resin": self.resin, "coat": 1, "open_h": 4.0}),
            (mould.build_mould, "mould", {"sealed": True, "sealant_h": 12.0}),
            (demould.demould, "demould", {"length_mm": 599.0, "bow_mm": 0.2}),
            (glue.glue_up, "glue-up", {**air, "open_min": 40.0, "clamped_h": 12.0}),
            (coat.put_coat, "coat", {**air, "supply": tin.supply, "lot": tin, "number": 1}),
        ):
            act(self.member, self.steps[name], values, key=key(), moment=moment(minutes))
        sanded = {"grade": "120", "system": "P", "side": "back"}
        session = sanding.start(self.member, self.steps["sand"], sanded, key=key(), moment=moment(minutes))
        sanding.stop(self.member, session, {"discs": 2}, key=key(), moment=moment(minutes + 1))

    def pour_once(self, minutes):
        self.weigh_b(self.meet(minutes=minutes), minutes=minutes + 1)
        self.pour(minutes=minutes + 2)

    def fill(self, n):
        """Projects, steps, bottles, checklist lines, woods and sheets."""
        project = ProjectFactory(shop=self.shop)
        block = BlockFactory(shop=self.shop, project=project, species=SpeciesFactory(shop=self.shop))
        StepFactory(shop=self.shop, block=block)
        StepFactory(shop=self.shop, block=self.block)
        StepFactory(shop=self.shop, block=self.block, assignee=self.member, planned_start=AT, planned_end=AT)
        CheckItemFactory(step=self.extra, position=n + 1)
        work.tell(self.member, self.extra, "done", key=key(), moment=moment(2 * n))
        work.reopen(self.member, self.extra, key=key(), moment=moment(2 * n + 1))
        CheckItemFactory(step=self.step, position=n + 1)
        for part in "AB":
            LotFactory(shop=self.shop, resin=self.resin, part=part)
        self.sheet()

    def go_wrong(self, minutes):
        """A failure with a photo, and a photo of its own, both of the last pour."""
        picture = pictures.take_in(photo(), self.member, at=AT)
        pour = self.block.pours.order_by("-pk").first()
        what = {"kind": "soft", "where": "Edge", "severity": "repair", "pour": pour, "done": ""}
        self.failure = failures.record_failure(
            self.member, self.project, what, key=key(), moment=moment(minutes), picture=picture
        )
        codes = list(Cause.Code)
        for n in range(minutes // 100 + 1):
            lessons.suspect(self.member, self.failure, code=codes[n], status="suspected", evidence="", at=AT)
            LessonFactory(shop=self.shop, failure=self.failure)
        acts.add_photo(
            self.member, key=key(), moment=moment(minutes + 1), project=self.project, step=self.step,
            picture=picture, text="The comb",
        )  # fmt: skip


# pages and fragments, and how often they ask
PINNED = {
    "now": 26,
    "clocks": 4,
    "clock-settle": 5,
    "project-list": 8,
    "project-new": 5,
    "panel": 10,
    "block": 12,
    "combs": 6,
    "comb-file": 6,
    "cuts": 9,
    "dry-fit": 10,
    "steps": 11,
    "shelf-list": 15,
    "log": 11,
    "sheets": 13,
    "sheet-pdf": 5,
    "failures": 11,
    "failure-new": 12,
    "failure": 14,
    "failure-change": 7,
    "failure-cause": 5,
    "failure-lesson": 8,
    "lessons": 15,
    "lesson-new": 5,
    "failure-kind": 14,
    "bench": 5,
    "bench-step": 11,
    "mix": 23,
    "cup": 12,
    "pour": 14,
    "bench-photo": 7,
    "clock-new": 5,
    "reading-new": 3,
    "project-reading": 4,
    "river": 10,
    "act-strips": 8,
    "act-seal": 15,
    "act-mould": 8,
    "act-demould": 7,
    "act-glue-up": 15,
    "act-coat": 12,
    "act-reading": 4,
    "act-clock": 4,
    "act-sand": 8,
    "sanding": 5,
    "piece": 6,
    "step-new": 7,
    "step-change": 13,
    "step-skip": 4,
    "step-split": 5,
    "step-link": 8,
    "glue-parts": 11,
    "route-keep": 5,
    "routes": 6,
    "work": 11,
}
BLOCK = {
    "strip_mm": "2",
    "gap_mm": "2",
    "finished_mm": "10",
    "strips": "60",
    "length_mm": "600",
    "flatten_mm": "1",
    "edge_mm": "3",
    "rim_mm": "4",
    "over_mm": "1",
    "film_percent": "3",
    "soak_percent": "2",
}
PANEL = {
    "pattern": "squares", "sizes_of": "squares", "width_mm": "600", "height_mm": "420", "size_side_mm": "60",
    "strip_mm": "2", "gap_mm": "2", "finished_mm": "10", "tint_0": "100", "turn_deg": "0", "glue_mm": "0",
    "overhang_mm": "0", "lines": "alike",
}  # fmt: skip
CUP = {"a_g": "314.5", "room_c": "20", "wanted_a_g": "313.5"}
FRAGMENTS = {"clocks": ({}, 4), "panel": (PANEL, 8), "block": (BLOCK, 6), "mix": (CUP, 23)}


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    """No PDF is made here."""
    monkeypatch.setattr("workshop.paper.pdf", lambda template, context: b"%PDF")


@pytest.fixture(scope="module")
def filled(django_db_setup, django_db_blocker, tmp_path_factory):
    """A small room and a large one, built once for this file."""
    with (
        built_once(django_db_blocker, tmp_path_factory.mktemp("media")),
        pytest.MonkeyPatch.context() as patch,
    ):
        patch.setattr("workshop.paper.pdf", lambda template, context: b"%PDF")
        yield {size: Filled(size) for size in (1, 4)}


def asked(client, address, *args, **kwargs):
    """How often the database is asked, and what for."""
    with CaptureQueriesContext(
        connection,
    ) as captured:
        response = client.get(address, *args, **kwargs)
    assert response.status_code == 200
    return len(captured), "\n".join(query["sql"][:200] for query in captured)


@pytest.mark.parametrize("size", [1, 4])
@pytest.mark.parametrize("name", PINNED)
def test_a_page_asks_the_database_as_often_as_it_always_did(signed_in, filled, name, size):
    room = filled[size]
    count, said = asked(signed_in(room.member), room.address(name))
    assert count == PINNED[name], said


@pytest.mark.parametrize("size", [1, 4])
@pytest.mark.parametrize("name", FRAGMENTS)
def test_a_fragment_asks_the_database_as_often_as_it_always_did(signed_in, filled, name, size):
    room = filled[size]
    typed, pinned = FRAGMENTS[name]
    if name == "mix":
        typed = {**typed, "lot_a": str(room.lot_a.pk), "lot_b": str(room.lot_b.pk)}
    count, said = asked(signed_in(room.member), room.address(name), typed, **FRAGMENT)
    assert count == pinned, said


def test_the_larger_room_has_more_of_everything(filled):
    small, large = filled[1], filled[4]
    for count in (
        lambda room: Timer.objects.of(room.shop).running().count(),
        lambda room: room.project.failures.count(),
        lambda room: room.block.pours.count(),
        lambda room: room.project.sheets.count(),
    ):
        assert count(large) > count(small)
