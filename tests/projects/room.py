"""A shop in which every address of the projects room has something to show."""

from projects import sheets
from projects.actions import dates, failures, route
from tests.factories import AT, Bench, CheckItemFactory, key, moment
from tests.projects.pages import at

GET, POST = {"get"}, {"post"}
BOTH = GET | POST


class Room(Bench):
    """One project with a mixed cup, its clock, a checklist line, a failure and a sheet."""

    def __init__(self, **resin):
        super().__init__(**resin)
        self.item = CheckItemFactory(step=self.step)
        extra = {"kind": "other", "title": "Draw the lines"}
        self.extra = route.add_step(self.member, self.project, extra, at=AT)
        self.line = route.add_check(self.member, self.extra, "Pencil sharp", at=AT)
        route.lay_out(self.member, at=AT)
        self.dates = dates.last_dates(self.shop)
        self.batch = self.meet()
        self.timer = self.batch.timers.get()
        what = {"kind": "soft", "where": "Along one edge", "severity": "repair", "pour": None, "done": ""}
        self.failure = failures.record_failure(self.member, self.project, what, key=key(), moment=moment(60))

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
            "extra": self.extra.key,
            "line": self.line.key,
            "dates": self.dates.key,
            "part": "B",
            "number": 1,
        }

    def address(self, name, **other):
        """The address of a page, of this shop or with other rows in it."""
        rows = {**self.rows(), **other}
        if name == "work":
            return at("bench-step", self.shop, rows["extra"])
        return at(name, self.shop, *(rows[what] for what in ADDRESSES[name][0]))


# each address: the rows it names, and what it can be asked by
ADDRESSES = {
    "now": ((), GET),
    "clocks": ((), GET),
    "clock-settle": (("clock",), BOTH),
    "project-list": ((), GET),
    "project-new": ((), BOTH),
    "project": (("project",), GET),
    "block": (("project",), BOTH),
    "steps": (("project",), GET),
    "log": (("project",), GET),
    "note": (("project",), POST),
    "photo": (("project",), POST),
    "sheets": (("project",), BOTH),
    "sheet-pdf": (("project", "number"), GET),
    "failures": (("project",), GET),
    "failure-new": (("project",), BOTH),
    "failure-remove": (("project", "failure"), POST),
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
    "step-move": (("project", "extra"), POST),
    "step-remove": (("project", "extra"), POST),
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
}
