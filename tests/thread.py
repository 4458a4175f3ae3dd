"""The whole thread, run once in a shop of its own by the app's own actions: from founding to failure."""

from datetime import date, time, timedelta

from materials import actions as shelf
from materials.fit import advice as fits
from materials.fit import cup_tests
from materials.models import Lot, Movement, Species
from materials.science.resin.calibration import Calibration
from projects import sheets
from projects.actions import bench, check, failures, plan
from projects.check import asked, facts
from projects.models import Timer
from tests.factories import AT, UserFactory, key, moment
from tests.workshop.photos import photo
from workshop import actions, pictures
from workshop.changes import hours, machines, people

SHEET = {
    "parts_a": 100.0,
    "parts_b": 45.0,
    "density_a_g_ml": 1.12,
    "density_b_g_ml": 0.98,
    "pot_minutes": 90.0,
    "max_depth_mm": 25.0,
    "recoat_open_h": 4.0,
    "recoat_close_h": 14.0,
    "demould_h": 24.0,
}
READINGS = [(0, 25.0), (20, 27.5), (40, 34.0), (55, 52.0), (62, 88.0), (66, 97.0), (75, 80.0), (90, 61.0)]
"""What a thermometer showed in a cup: minutes and °C."""


class Thread:
    """A shop in which all has happened once: stock, a project, two cups, a pour, clocks, photos, a sheet."""

    def __init__(self):
        self.member = actions.found_shop(user=UserFactory(), shop_name="Tallow Yard", zone="UTC", at=AT)
        self.shop = self.member.shop
        self.open_the_doors()
        self.fill_the_shelf()
        self.plan_the_work()
        self.mix_and_pour()
        self.keep_the_papers()

    def open_the_doors(self):
        me = self.member
        self.invitation = people.invite(me, key=key(), role="maker", for_whom="Joris", at=AT)
        used = people.invite(me, key=key(), role="maker", for_whom="Maud", at=AT)
        self.maker = people.join(UserFactory(name="Maud"), used, at=AT)
        self.day = date(2026, 3, 20)
        hours.set_week(me, {day: [(time(7), time(16))] for day in range(7)}, at=AT)
        hours.set_day(me, self.day, [], at=AT, note="stocktaking")
        self.saw = machines.add(me, "saw", {"name": "the table saw", "kerf_mm": 2.2}, at=AT)

    def fill_the_shelf(self):
        me = self.member
        self.resin = shelf.add_resin(me, {"name": "Tarn 90", **SHEET}, at=AT)
        shelf.change_resin(me, self.resin, {"maker": "Tarn"}, at=AT)
        wood = {"kind": Lot.Kind.WOOD, "species": Species.objects.of(self.shop).first(), "unit": "strips"}
        self.lot_a, self.lot_b = (self.bottle(part) for part in "AB")
        self.bundle = shelf.receive(me, {**wood, "code": "W-01", "received_on": AT.date()}, 60, at=AT)
        spilt = shelf.draw_at_shelf(me, self.lot_a, 5, at=AT, kind=Movement.Kind.WASTE, why="spilt")
        self.line = shelf.draw_at_shelf(me, self.bundle, 3, at=AT, why="a sample")
        shelf.reverse(me, spilt, at=AT, why="it was B")
        shelf.count(me, self.lot_b, 4990, at=AT)
        self.read_a_cup()

    def read_a_cup(self):
        cup = {"mass_g": 100.0, "temp_c": 25.0, "taken_at": AT, "points": [list(point) for point in READINGS]}
        self.cup_test = cup_tests.keep(self.member, self.resin, cup, at=AT)
        self.job = cup_tests.ask_for_fit(self.member, self.cup_test, at=AT)
        own = fits.by_sheet(fits.sheet_of(self.resin))
        calibration = Calibration(own.kinetics["nominal"], 2.0, (), 1, None, own.sheet, "nominal", True)
        cup_tests.fitted(self.cup_test, calibration, at=AT)
        cup_tests.remove(self.member, self.cup_test, at=AT, removed=True)
        cup_tests.remove(self.member, self.cup_test, at=AT, removed=False)

    def bottle(self, part):
        values = {"kind": Lot.Kind.RESIN, "resin": self.resin, "part": part, "unit": "g"}
        return shelf.receive(
            self.member, {**values, "code": f"{part}-01", "received_on": AT.date()}, 5000, at=AT
        )

    def plan_the_work(self):
        me = self.member
        self.project = plan.begin_project(me, title="Stair window", due_on=None, resin=self.resin, at=AT)
        self.block, self.step = self.project.blocks.get(), self.project.steps.get()
        plan.keep_block(me, self.block, {"strips": 40, "species": self.bundle.species}, at=AT)
        self.item = plan.tick(me, self.step.checks.first(), True, at=AT)

    def mix_and_pour(self):
        me, step = self.member, self.step
        answers = asked.first_answers(step)
        check.keep_check(me, step, answers, facts.check(step, answers, AT), key=key(), moment=moment(-30))
        check.overrule(me, step, "seal_coat", "it is dry", key=key(), moment=moment(-29))
        for minutes in (0, 3):
            cup = {"a_g": 100.0, "room_c": 20.0, "humidity_percent": 45.0, "lot_a": self.lot_a}
            self.cup = bench.parts_meet(
                me, step, key=key(), moment=moment(minutes), resin=self.resin,
                cup={**cup, "lot_b": self.lot_b, "wanted_a_g": 100.0},
            )  # fmt: skip
            for grams in (45.0, 45.2):
                bench.weigh(me, step, self.cup, "B", grams, key=key(), moment=moment(minutes + 1))
        self.pour = bench.pour(me, step, key=key(), moment=moment(10), depth_mm=13.0, text="calm")
        self.picture = pictures.take_in(photo(), me, at=AT)
        bench.add_photo(
            me,
            key=key(),
            moment=moment(12),
            project=self.project,
            step=step,
            picture=self.picture,
            text="poured",
        )
        bench.add_note(me, key=key(), moment=moment(15), project=self.project, text="It is calm.")
        running = Timer.objects.of(self.shop).running()
        bench.settle(me, running.get(kind="recoat"), "none is wanted", key=key(), moment=moment(300))
        self.timer = running.get(kind="demould")

    def keep_the_papers(self):
        me = self.member
        what = {"kind": "haze", "where": "one corner", "severity": "trace", "pour": self.pour, "done": ""}
        self.failure = failures.record_failure(
            me, self.project, what, key=key(), moment=moment(400), picture=self.picture
        )
        failures.remove_failure(me, self.failure, at=AT + timedelta(hours=8), removed=True)
        failures.remove_failure(me, self.failure, at=AT + timedelta(hours=9), removed=False)
        self.sheet = sheets.make_sheet(
            me, self.block, key=key(), moment=moment(500), paper_size="a4", origin="http://testserver"
        )

    def places(self):
        """The rows that addresses name, by the name of the address."""
        project, step = {"project": self.project.key}, {"key": self.step.key}
        cup = {**step, "cup": self.cup.key}
        return {
            **{
                f"workshop:{name}": {"key": self.invitation.key}
                for name in ("invitation", "invitation-revoke")
            },
            **{f"workshop:{name}": {"key": self.maker.key} for name in MEMBER_PAGES},
            "workshop:day-usual": {"day": self.day},
            "workshop:hours-undo": {"key": hours.last_change(self.shop).key},
            "workshop:machine-new": {"kind": "saw"},
            **{f"workshop:{name}": {"key": self.saw.key} for name in ("machine", "machine-retire")},
            "workshop:picture": {"key": self.picture.key, "size": "small"},
            "materials:lot": {"key": self.bundle.key},
            "materials:line-reverse": {"key": self.bundle.key, "line": self.line.key},
            **{f"materials:{name}": {"key": self.resin.key} for name in RESIN_PAGES},
            **{f"materials:{name}": {"key": self.cup_test.key} for name in ("cup-test", "cup-test-remove")},
            **{f"workshop:{name}": {"key": self.job.key} for name in ("job", "job-again")},
            "projects:clock-settle": {"key": self.timer.key},
            **{f"projects:{name}": project for name in PROJECT_PAGES},
            "projects:sheet-pdf": {**project, "number": self.sheet.number},
            "projects:failure-remove": {**project, "key": self.failure.key},
            **{f"projects:{name}": step for name in ("bench-step", "mix", "pour", "bench-photo", "check")},
            "projects:overrule": {**step, "code": "seal_coat"},
            "projects:tick": {**step, "item": self.item.key},
            "projects:cup": cup,
            "projects:weigh": {**cup, "part": "B"},
        }


RESIN_PAGES = ("resin", "resin-fit", "cup-tests", "cup-test-new")
MEMBER_PAGES = ("member", "member-remove", "member-take-in")
PROJECT_PAGES = (
    "project", "block", "steps", "log", "note", "photo", "sheets", "failures", "failure-new",
)  # fmt: skip
