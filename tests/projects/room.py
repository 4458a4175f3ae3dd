"""A shop in which every address of the projects room has something to show."""

from projects import sheets
from projects.actions import failures
from tests.factories import Bench, CheckItemFactory, NeedFactory, key, moment
from tests.projects.pages import at

GET, POST = {"get"}, {"post"}
BOTH = GET | POST


class Room(Bench):
    """One project with a mixed cup, its clock, a checklist line, a failure and a sheet."""

    def __init__(self, **resin):
        super().__init__(**resin)
        self.item = CheckItemFactory(step=self.step)
        self.batch = self.meet()
        self.timer = self.batch.timers.get()
        self.need = NeedFactory(project=self.project)
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
            "need": self.need.key,
            "part": "B",
            "number": 1,
        }

    def address(self, name, **other):
        """The address of a page, of this shop or with other rows in it."""
        rows = {**self.rows(), **other}
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
    "shelf-list": (("project",), BOTH),
    "need-strike": (("project", "need"), POST),
    "log": (("project",), GET),
    "note": (("project",), POST),
    "photo": (("project",), POST),
    "sheets": (("project",), BOTH),
    "sheet-pdf": (("project", "number"), GET),
    "failures": (("project",), GET),
    "failure-new": (("project",), BOTH),
    "failure-remove": (("project", "failure"), POST),
    "bench": ((), GET),
    "bench-step": (("step",), GET),
    "tick": (("step", "item"), POST),
    "mix": (("step",), BOTH),
    "cup": (("step", "cup"), GET),
    "weigh": (("step", "cup", "part"), POST),
    "pour": (("step",), BOTH),
    "bench-photo": (("step",), BOTH),
}
