"""The whole thread, run once in a shop of its own by the app's own actions: from founding to failure."""

from datetime import date, time, timedelta

from materials import actions as shelf
from materials.fit import advice as fits
from materials.fit import cup_tests
from materials.models import Lot, Movement, Species
from materials.science.resin.calibration import Calibration
from projects import sheets
from projects.actions import (
    bench,
    check,
    coat,
    dates,
    demould,
    dry_fit,
    failures,
    flaws,
    free_clock,
    glue,
    leftovers,
    lessons,
    links,
    mould,
    needs,
    parts,
    plan,
    plans,
    readings,
    route,
    routes,
    sanding,
    seal,
    strips,
    work,
)
from projects.check import asked, facts
from projects.feed import kept
from projects.feed.events import events_of
from projects.models import Timer
from projects.panel.rows import design_hash
from tests.factories import AT, StepFactory, UserFactory, design, key, moment
from tests.workshop.photos import pdf, photo
from workshop import actions, documents, pictures
from workshop.changes import absences, feeds, hours, machines, people

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
        self.do_the_rest()
        self.keep_the_papers()
        self.keep_a_calendar()

    def open_the_doors(self):
        me = self.member
        self.invitation = people.invite(me, key=key(), role="maker", for_whom="Joris", at=AT)
        used = people.invite(me, key=key(), role="maker", for_whom="Maud", at=AT)
        self.maker = people.join(UserFactory(name="Maud"), used, at=AT)
        self.day = date(2026, 3, 20)
        hours.set_week(me, {day: [(time(7), time(16))] for day in range(7)}, at=AT)
        hours.set_day(me, self.day, [], at=AT, note="stocktaking")
        self.absence = absences.enter(me, self.maker, self.day, self.day, at=AT, note="at the sea")
        self.saw = machines.add(me, "saw", {"name": "the table saw", "kerf_mm": 2.2}, at=AT)

    def fill_the_shelf(self):
        me = self.member
        self.resin = shelf.add_resin(me, {"name": "Tarn 90", **SHEET}, at=AT)
        self.data_sheet = documents.take_in(pdf(), me, at=AT)
        shelf.change_resin(me, self.resin, {"maker": "Tarn", "sheet": self.data_sheet}, at=AT)
        wood = {"kind": Lot.Kind.WOOD, "species": Species.objects.of(self.shop).first(), "unit": "strips"}
        self.lot_a, self.lot_b = (self.bottle(part) for part in "AB")
        self.bundle = shelf.receive(me, {**wood, "code": "W-01", "received_on": AT.date()}, 60, at=AT)
        spilt = shelf.draw_at_shelf(me, self.lot_a, 5, at=AT, kind=Movement.Kind.WASTE, why="spilt")
        self.line = shelf.draw_at_shelf(me, self.bundle, 3, at=AT, why="a sample")
        shelf.reverse(me, spilt, at=AT, why="it was B")
        shelf.count(me, self.lot_b, 4990, at=AT)
        self.tape = shelf.add_supply(me, {"kind": "consumable", "name": "release tape"}, at=AT)
        roll = {"kind": "consumable", "supply": self.tape, "unit": "level", "received_on": AT.date()}
        self.roll = shelf.receive(me, {**roll, "code": "K-01"}, None, at=AT)
        self.own_wood = shelf.add_species(me, {"name": "bog oak"}, at=AT)
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
        self.block, self.step = self.project.blocks.get(), self.project.steps.get(kind="pour")
        plan.keep_block(me, self.block, {"strips": 40, "species": self.bundle.species}, at=AT)
        self.panel = design(me, self.project, saw=self.saw)
        dry_fit.mark(me, self.project, [1, 2], "laid", version=design_hash(self.project), at=AT)
        self.mark_and_use()
        self.need = needs.write_in(me, self.project, {"supply": self.tape}, at=AT)
        self.item = plan.tick(me, self.step.checks.first(), True, at=AT)
        self.go_the_route()

    def mark_and_use(self):
        """A flaw marked and taken off, and a leftover that is cut first."""
        me, place = self.member, {"along_mm": 200.0, "across_mm": 50.0, "length_mm": 10.0, "width_mm": 10.0}
        self.flaw = flaws.mark_flaw(me, self.block, {"kind": "void", **place}, at=AT)
        flaws.remove_flaw(me, self.flaw, at=AT, removed=True)
        flaws.remove_flaw(me, self.flaw, at=AT, removed=False)
        stripes = {"strip_mm": 2.0, "gap_mm": 2.0, "thickness_mm": 10.0, "length_mm": 300.0, "width_mm": 30.0}
        bar = {"kind": Lot.Kind.LEFTOVER, "species": self.bundle.species, "unit": "pieces", "code": "L-01"}
        self.leftover = shelf.receive(me, {**bar, **stripes, "received_on": AT.date()}, 2, at=AT)
        for _ in range(2):
            leftovers.use(me, self.project, self.leftover, at=AT)
        self.panel.refresh_from_db()
        second = Movement.objects.get(key=self.panel.overrides["leftovers"][1]["line"])
        leftovers.give_back(me, self.project, second, at=AT)
        self.panel.refresh_from_db()

    def go_the_route(self):
        """A route that was changed and laid out, and a step as a whole."""
        me, later = self.member, AT + timedelta(minutes=1)
        self.extra = route.add_step(me, self.project, {"kind": "other", "title": "Draw the lines"}, at=AT)
        route.change_step(me, self.extra, {"minutes": 40, "assignee": self.maker, "machine": self.saw}, at=AT)
        route.move_step(me, self.extra, -2, at=AT)
        self.check = route.add_check(me, self.extra, "Pencil sharp", at=AT)
        route.remove_step(me, route.add_step(me, self.project, {"kind": "other", "title": "x"}, at=AT), at=AT)
        route.undo(me, self.project, at=later)
        behind = self.project.steps.kept().in_order().exclude(pk=self.extra.pk)
        self.link = links.link(me, behind.first(), self.extra, {"open_min": 30, "close_min": 600}, at=AT)
        parts.split_step(me, self.extra, 2, at=AT)
        parts.join_steps(me, self.extra, at=AT)
        self.kept_route = routes.keep_route(me, self.project, "As always", at=AT)
        route.lay_out(me, at=AT)
        self.dates = dates.last_dates(self.shop)
        bought = self.project.steps.in_order().first()
        work.tell(me, bought, "began", key=key(), moment=moment(1))
        work.tell(me, bought, "done", key=key(), moment=moment(20), text="all there")
        delivered = self.project.steps.in_order()[1]
        work.wait(me, delivered, key=key(), moment=moment(21))
        work.skip(me, delivered, "it was on the shelf", key=key(), moment=moment(22))
        plan.set_state(me, self.project, "set_aside", at=AT, why="the glass is late")
        plan.take_up(me, self.project, at=AT)
        plan.change_project(me, self.project, {"customer": "Wray", "due_on": self.day}, at=AT)
        self.search = plans.search_on(me, at=AT)
        self.plan = plans.propose(me, at=AT)

    def mix_and_pour(self):
        me, step = self.member, self.step
        answers = asked.first_answers(step, at=AT)
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
        self.note = bench.add_note(me, key=key(), moment=moment(15), project=self.project, text="It is calm.")
        running = Timer.objects.of(self.shop).running()
        bench.settle(me, running.get(kind="recoat"), "none is wanted", key=key(), moment=moment(300))
        self.timer = running.get(kind="demould")

    def do_the_rest(self):
        """Every act of the route once, and a session of sanding that goes on."""
        air = {"temp_c": 20.0, "humidity_percent": 45.0}
        self.act(strips.load_strips, "load", {"lot": self.bundle, "count": 20})
        self.act(
            seal.seal_coat, "seal", {**air, "resin": self.resin, "coat": 1, "open_h": 4.0, "close_h": 14.0}
        )
        self.act(mould.build_mould, "mould", {"sealed": True, "sealant_h": 12.0})
        self.act(demould.demould, "demould", {"length_mm": 599.0})
        self.act(glue.glue_up, "glue_up", {"part": "left half", "open_min": 40.0, "clamped_h": 12.0})
        self.act(coat.put_coat, "coat", {**air, "number": 1})
        sanded = {"grade": "120", "system": "P", "side": "front"}
        self.session = self.act(sanding.start, "sand", sanded, minutes=700)
        said = {"kind": "moisture", "value": 8.2, "lot": self.bundle, "text": ""}
        self.read = readings.take_reading(
            self.member, said, key=key(), moment=moment(60), step=self.step_of("measure")
        )
        free_clock.set_clock(self.member, name="kettle", minutes=10, key=key(), moment=moment(60))

    def step_of(self, kind):
        """The step of a kind, from the route or put in."""
        made = {"shop": self.shop, "block": self.block, "created_by": self.member.user}
        found = self.project.steps.filter(kind=kind).first()
        return found or StepFactory(**made, kind=kind, title=kind.replace("_", " "))

    def keep_a_calendar(self):
        """An address for a calendar program, which has asked once."""
        me = self.member
        feeds.revoke(me, at=AT)
        feeds.make(me, key=key(), at=AT)
        link = feeds.make(me, key=key(), at=AT)
        feeds.show_once(link, at=AT)
        kept.bring_up(link, events_of(me, AT), AT)

    def act(self, act, kind, values, minutes=600):
        """One act at the step of a kind."""
        return act(self.member, self.step_of(kind), values, key=key(), moment=moment(minutes))

    def keep_the_papers(self):
        me = self.member
        what = {"kind": "haze", "where": "one corner", "severity": "trace", "pour": self.pour, "done": ""}
        self.failure = failures.record_failure(
            me, self.project, what, key=key(), moment=moment(400), picture=self.picture
        )
        failures.remove_failure(me, self.failure, at=AT + timedelta(hours=8), removed=True)
        failures.remove_failure(me, self.failure, at=AT + timedelta(hours=9), removed=False)
        failures.change_failure(me, self.failure, {**what, "where": "two corners"}, at=AT)
        self.cause = lessons.suspect(
            me, self.failure, code="damp_air", status="suspected", evidence="it rained", at=AT
        )
        learned = {"failure": self.failure, "sentence": "Air below 65 %", "step_kind": "pour"}
        self.lesson = lessons.learn(
            me, {**learned, "resin": self.resin, "species": self.bundle.species}, at=AT
        )
        self.sheet = sheets.make_sheet(
            me, self.block, key=key(), moment=moment(500), paper_size="a4", origin="http://testserver"
        )

    def places(self):
        """The rows that addresses name, by the name of the address."""
        project, step = {"project": self.project.key}, {"key": self.step.key}
        cup = {**step, "cup": self.cup.key}
        session = {"key": self.session.step.key, "session": self.session.key}
        return {
            **{
                f"workshop:{name}": {"key": self.invitation.key}
                for name in ("invitation", "invitation-revoke")
            },
            **{f"workshop:{name}": {"key": self.maker.key} for name in MEMBER_PAGES},
            "workshop:day-usual": {"day": self.day},
            **{f"workshop:{name}": {"key": self.absence.key} for name in ("away-out", "away-back")},
            "workshop:hours-undo": {"key": hours.last_change(self.shop).key},
            "workshop:machine-new": {"kind": "saw"},
            **{f"workshop:{name}": {"key": self.saw.key} for name in ("machine", "machine-retire")},
            "workshop:picture": {"key": self.picture.key, "size": "small"},
            "workshop:document": {"key": self.data_sheet.key},
            **{f"materials:{name}": {"key": self.bundle.key} for name in LOT_PAGES},
            "materials:lot-open": {"key": self.lot_a.key},
            "materials:lot-level": {"key": self.roll.key},
            "materials:lot-in": {"kind": "sawn"},
            "materials:supply-new": {"kind": "finish"},
            **{f"materials:{name}": {"key": self.tape.key} for name in ("supply", "supply-remove")},
            "materials:wood": {"key": self.own_wood.key},
            "materials:line-reverse": {"key": self.bundle.key, "line": self.line.key},
            **{f"materials:{name}": {"key": self.resin.key} for name in RESIN_PAGES},
            **{f"materials:{name}": {"key": self.cup_test.key} for name in ("cup-test", "cup-test-remove")},
            **{f"workshop:{name}": {"key": self.job.key} for name in ("job", "job-again")},
            "projects:clock-settle": {"key": self.timer.key},
            **{f"projects:{name}": project for name in PROJECT_PAGES},
            "projects:block-of": {**project, "letter": "A"},
            "projects:comb-file": {**project, "kind": "svg"},
            "projects:combs-of": {**project, "letter": "A"},
            "projects:comb-file-of": {**project, "letter": "A", "kind": "svg"},
            "projects:cuts-csv": {**project, "kind": "bars"},
            "projects:flaws": {**project, "key": self.block.key},
            "projects:flaw-remove": {**project, "key": self.block.key, "flaw": self.flaw.key},
            "projects:leftover-use": {**project, "key": self.leftover.key},
            "projects:leftover-back": {**project, "line": self.panel.overrides["leftovers"][0]["line"]},
            "projects:leftover-keep": {**project, "number": 1},
            "projects:need-strike": {**project, "key": self.need.key},
            "projects:sheet-pdf": {**project, "number": self.sheet.number},
            **{
                f"projects:{name}": step
                for name in ("bench-step", "mix", "pour", "bench-photo", "check", "starts")
            },
            "projects:overrule": {**step, "code": "seal_coat"},
            **{f"projects:{name}": {**project, "key": self.failure.key} for name in FAILURE_PAGES},
            "projects:failure-kind": {"kind": "haze"},
            "projects:lesson-retire": {"key": self.lesson.key},
            **{f"projects:step-{name}": step for name in ("begin", "wait", "done", "skip", "reopen")},
            **{f"projects:{name}": {**project, "key": self.extra.key} for name in STEP_PAGES},
            "projects:line-remove": {**project, "key": self.extra.key, "item": self.check.key},
            "projects:step-split": {**project, "key": self.step_of("pack").key},
            **{
                f"projects:{name}": {**project, "key": self.extra.key, "item": self.link.key}
                for name in ("step-unlink", "step-link-change")
            },
            "projects:step-offer": {**project, "code": "coats"},
            "projects:route-remove": {"key": self.kept_route.key},
            "projects:dates-back": {**project, "key": self.dates.key},
            **{f"projects:{name}": {"key": self.plan.key} for name in ("plan", "plan-accept", "plan-drop")},
            "projects:plan-search": {"key": self.search.key},
            "projects:plan-back": {"key": self.dates.key},
            "projects:tick": {**step, "item": self.item.key},
            "projects:cup": cup,
            "projects:project-reading": project,
            "projects:entry-remove": {"key": self.note.key},
            "projects:entry-back": {"key": self.read.key},
            **{f"projects:act-{act}": {"key": self.step_of(kind).key} for act, kind in ACT_PAGES.items()},
            **{f"projects:{name}": session for name in SANDING_PAGES},
            "projects:weigh": {**cup, "part": "B"},
        }


LOT_PAGES = ("lot", "lot-ticket", "lot-off")
RESIN_PAGES = ("resin", "resin-fit", "cup-tests", "cup-test-new")

ACT_PAGES = {
    "strips": "load", "seal": "seal", "mould": "mould", "demould": "demould", "glue-up": "glue_up",
    "coat": "coat", "reading": "measure", "clock": "measure", "sand": "sand",
}  # fmt: skip
SANDING_PAGES = ("sanding", "sanding-pause", "sanding-resume", "sanding-stop")
MEMBER_PAGES = ("member", "member-remove", "member-take-in")
FAILURE_PAGES = ("failure", "failure-change", "failure-cause", "failure-lesson", "failure-remove")
PROJECT_PAGES = (
    "block-add", "project", "panel", "block", "combs", "cuts", "dry-fit", "steps", "shelf-list", "log",
    "note", "photo", "sheets", "failures", "failure-new", "piece", "piece-state", "piece-aside",
    "piece-cover", "cover-photo", "project-remove", "step-new", "step-undo", "dates-lay-out",
    "glue-parts", "route-keep",
)  # fmt: skip
STEP_PAGES = (
    "step-change",
    "step-move",
    "step-remove",
    "own-time",
    "line-add",
    "step-join",
    "step-link",
)
