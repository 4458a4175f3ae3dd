"""A shop in which every address of the projects room has something to show."""

from materials import actions as shelf
from materials.models import Lot
from projects import sheets
from projects.actions import (
    bench,
    dates,
    failures,
    flaws,
    leftovers,
    links,
    plans,
    readings,
    route,
    routes,
    sanding,
)
from tests.factories import (
    AT,
    Bench,
    BundleFactory,
    CheckItemFactory,
    LessonFactory,
    NeedFactory,
    StepFactory,
    design,
    key,
    moment,
)
from tests.projects.pages import at

GET, POST = {"get"}, {"post"}
BOTH = GET | POST


class Room(Bench):
    """One project with a panel, a mixed cup, its clock, a checklist line, a failure, a note and a sheet.

    `self.steps` holds a step for each act, by the name of the act; at one of them somebody is sanding.
    """

    def __init__(self, **resin):
        super().__init__(**resin)
        self.item = CheckItemFactory(step=self.step)
        extra = {"kind": "other", "title": "Draw the lines"}
        self.extra = route.add_step(self.member, self.project, extra, at=AT)
        self.line = route.add_check(self.member, self.extra, "Pencil sharp", at=AT)
        self.link = links.link(self.member, self.step, self.extra, {"open_min": 60}, at=AT)
        self.route = routes.keep_route(self.member, self.project, "As always", at=AT)
        route.lay_out(self.member, at=AT)
        self.dates = dates.last_dates(self.shop)
        self.batch = self.meet()
        self.timer = self.batch.timers.get()
        self.panel = design(self.member, self.project)
        self.need = NeedFactory(project=self.project)
        what = {"kind": "soft", "where": "Along one edge", "severity": "repair", "pour": None, "done": ""}
        self.failure = failures.record_failure(self.member, self.project, what, key=key(), moment=moment(60))
        self.lesson = LessonFactory(shop=self.shop, failure=self.failure)

        self.steps = {act: self.step_for(kind) for act, kind in ACTS.items()}
        sanded = {"grade": "120", "system": "P", "side": "front"}
        self.session = sanding.start(self.member, self.steps["sand"], sanded, key=key(), moment=moment(60))
        warm = {"kind": "temperature", "value": 19.5, "text": ""}
        self.reading = readings.take_reading(self.member, warm, key=key(), moment=moment(1), step=self.step)
        self.note = bench.add_note(
            self.member, key=key(), moment=moment(70), project=self.project, text="It is calm."
        )

    def step_for(self, kind):
        """A step of a kind at the room's block."""
        return StepFactory(shop=self.shop, block=self.block, kind=kind, title=kind.replace("_", " "))

    def sheet(self):
        return sheets.make_sheet(
            self.member, self.block, key=key(), moment=moment(), paper_size="a4", origin="http://testserver"
        )

    def rows(self):
        """What addresses name, by what it is called there."""
        return {
            "project": self.project.key,
            "step": self.step.key,
            "item": self.item.key,
            "cup": self.batch.key,
            "clock": self.timer.key,
            "failure": self.failure.key,
            "need": self.need.key,
            "lesson": self.lesson.key,
            "kind": "soft",
            "session": self.session.key,
            "note": self.note.key,
            "reading": self.reading.key,
            **{act: step.key for act, step in self.steps.items()},
            "extra": self.extra.key,
            "line": self.line.key,
            "dates": self.dates.key,
            "link": self.link.key,
            "route": self.route.key,
            "offer": "coats",
            "part": "B",
            "letter": "A",
            "number": 1,
            "table": "bars",
            "file": "svg",
            "code": "seal_coat",
        }

    def address(self, name, **other):
        """The address of a page, of this shop or with other rows in it."""
        rows = {**self.rows(), **other}
        if name == "work":
            return at("bench-step", self.shop, rows["extra"])
        return at(name, self.shop, *(rows[what] for what in ADDRESSES[name][0]))


class WholeRoom(Room):
    """A room in which also flaws, leftovers and plans have something to show."""

    def __init__(self, **resin):
        super().__init__(**resin)
        me, place = self.member, {"along_mm": 200.0, "across_mm": 50.0, "length_mm": 10.0, "width_mm": 10.0}
        self.flaw = flaws.mark_flaw(me, self.block, {"kind": "void", **place}, at=AT)
        stripes = {"strip_mm": 2.0, "gap_mm": 2.0, "thickness_mm": 10.0, "length_mm": 300.0, "width_mm": 30.0}
        wood = BundleFactory(shop=self.shop).species
        bar = {"kind": Lot.Kind.LEFTOVER, "species": wood, "unit": "pieces", "code": "L-01"}
        self.leftover = shelf.receive(me, {**bar, **stripes, "received_on": AT.date()}, 2, at=AT)
        leftovers.use(me, self.project, self.leftover, at=AT)
        self.panel.refresh_from_db()
        self.search = plans.search_on(me, at=AT)
        self.plan = plans.propose(me, at=AT)

    def rows(self):
        """What addresses name, those of flaws, leftovers and plans too."""
        return {
            **super().rows(),
            "own-block": self.block.key,
            "flaw": self.flaw.key,
            "leftover": self.leftover.key,
            "cut-first": self.panel.overrides["leftovers"][0]["line"],
            "plan": self.plan.key,
            "search": self.search.key,
        }


# each address: the rows it names, and what it can be asked by
ADDRESSES = {
    "now": ((), GET),
    "clocks": ((), GET),
    "week": ((), GET),
    "when-done": ((), GET),
    "plan-make": ((), POST),
    "plan-search-on": ((), POST),
    "plan-search": (("search",), GET),
    "plan": (("plan",), GET),
    "plan-accept": (("plan",), POST),
    "plan-drop": (("plan",), POST),
    "plan-back": (("dates",), POST),
    "flaws": (("project", "own-block"), BOTH),
    "flaw-remove": (("project", "own-block", "flaw"), POST),
    "leftover-use": (("project", "leftover"), POST),
    "leftover-back": (("project", "cut-first"), POST),
    "leftover-keep": (("project", "number"), BOTH),
    "starts": (("step",), GET),
    "clock-settle": (("clock",), BOTH),
    "project-list": ((), GET),
    "project-new": ((), BOTH),
    "project": (("project",), GET),
    "panel": (("project",), BOTH),
    "block": (("project",), BOTH),
    "block-add": (("project",), POST),
    "block-of": (("project", "letter"), BOTH),
    "combs": (("project",), GET),
    "comb-file": (("project", "file"), GET),
    "combs-of": (("project", "letter"), GET),
    "comb-file-of": (("project", "letter", "file"), GET),
    "cuts": (("project",), GET),
    "cuts-csv": (("project", "table"), GET),
    "dry-fit": (("project",), BOTH),
    "steps": (("project",), GET),
    "shelf-list": (("project",), BOTH),
    "need-strike": (("project", "need"), POST),
    "log": (("project",), GET),
    "note": (("project",), POST),
    "photo": (("project",), POST),
    "sheets": (("project",), BOTH),
    "sheet-pdf": (("project", "number"), GET),
    "failures": (("project",), GET),
    "failure-new": (("project",), BOTH),
    "failure": (("project", "failure"), GET),
    "failure-change": (("project", "failure"), BOTH),
    "failure-cause": (("project", "failure"), BOTH),
    "failure-lesson": (("project", "failure"), BOTH),
    "failure-remove": (("project", "failure"), POST),
    "lessons": ((), GET),
    "lesson-new": ((), BOTH),
    "failure-kind": (("kind",), GET),
    "lesson-retire": (("lesson",), POST),
    "piece": (("project",), BOTH),
    "piece-state": (("project",), POST),
    "piece-aside": (("project",), POST),
    "piece-cover": (("project",), POST),
    "cover-photo": (("project",), POST),
    "project-remove": (("project",), POST),
    "step-new": (("project",), BOTH),
    "step-undo": (("project",), POST),
    "dates-lay-out": (("project",), POST),
    "dates-back": (("project", "dates"), POST),
    "step-change": (("project", "extra"), BOTH),
    "step-split": (("project", "extra"), BOTH),
    "step-join": (("project", "extra"), POST),
    "step-link": (("project", "extra"), BOTH),
    "step-unlink": (("project", "extra", "link"), POST),
    "step-link-change": (("project", "extra", "link"), BOTH),
    "step-offer": (("project", "offer"), POST),
    "glue-parts": (("project",), BOTH),
    "route-keep": (("project",), BOTH),
    "routes": ((), GET),
    "route-remove": (("route",), POST),
    "step-move": (("project", "extra"), POST),
    "step-remove": (("project", "extra"), POST),
    "own-time": (("project", "extra"), POST),
    "line-add": (("project", "extra"), POST),
    "line-remove": (("project", "extra", "line"), POST),
    "step-begin": (("extra",), POST),
    "step-wait": (("extra",), POST),
    "step-done": (("extra",), POST),
    "step-skip": (("extra",), BOTH),
    "step-reopen": (("extra",), POST),
    "bench": ((), GET),
    "bench-step": (("step",), GET),
    "tick": (("step", "item"), POST),
    "mix": (("step",), BOTH),
    "cup": (("step", "cup"), GET),
    "weigh": (("step", "cup", "part"), POST),
    "pour": (("step",), BOTH),
    "bench-photo": (("step",), BOTH),
    "check": (("step",), BOTH),
    "overrule": (("step", "code"), POST),
    "clock-new": ((), BOTH),
    "reading-new": ((), BOTH),
    "project-reading": (("project",), BOTH),
    "river": ((), GET),
    "entry-remove": (("note",), POST),
    "entry-back": (("reading",), BOTH),
    "act-strips": (("strips",), BOTH),
    "act-seal": (("seal",), BOTH),
    "act-mould": (("mould",), BOTH),
    "act-demould": (("demould",), BOTH),
    "act-glue-up": (("glue-up",), BOTH),
    "act-coat": (("coat",), BOTH),
    "act-reading": (("step",), BOTH),
    "act-clock": (("step",), BOTH),
    "act-sand": (("sand",), BOTH),
    "sanding": (("sand", "session"), GET),
    "sanding-pause": (("sand", "session"), POST),
    "sanding-resume": (("sand", "session"), POST),
    "sanding-stop": (("sand", "session"), POST),
}
ACTS = {
    "strips": "load",
    "seal": "seal",
    "mould": "mould",
    "demould": "demould",
    "glue-up": "glue_up",
    "coat": "coat",
    "sand": "sand",
}
# the kind of step at which each act is done
