"""The same case as a constraint model for OR-Tools CP-SAT, written from the case and not from the planner."""

import math
from datetime import timedelta

from ortools.sat.python import cp_model

from projects.planning.calendar import in_utc
from projects.planning.rules import LATE_WEIGHT

PART_MINUTES = 60


class Model:
    """Starts as variables in slots from the case's start; windows of fixed minutes only."""

    def __init__(self, case, horizon, windows=True, least=None, most=None):
        self.case, self.horizon, self.windows = case, horizon, windows
        self.least, self.most = least or {}, most or {}
        self.model = cp_model.CpModel()
        self.slot = case.calendar.minutes
        self.begin = case.calendar.slot_up(case.start)
        self.sessions = [
            (a - self.begin, b - self.begin)
            for a, b in zip(case.calendar.opens, case.calendar.closes, strict=True)
            if b > self.begin
        ]
        self.first, self.end, self.uses = {}, {}, {}
        self.alone = {}
        for link in case.links:
            self.alone[link.after] = link.after not in self.alone
        for step in case.tasks:
            self.add(step)
        for link in case.links:
            self.link(link)
        for span in case.spans:
            self.hold(span)
        self.crowd()
        self.aim()

    def add(self, step):
        """A step, or its parts one behind the other."""
        pieces = [step.minutes]
        if step.splittable:
            whole, rest = divmod(step.minutes, PART_MINUTES)
            pieces = [PART_MINUTES] * int(whole) + ([rest] if rest else [])
        end = None
        for number, minutes in enumerate(pieces):
            slots = math.ceil(minutes / self.slot)
            start = self.model.new_int_var_from_domain(self.domain(step, slots), f"{step.id} {number}")
            if end is not None:
                self.model.add(start >= end)
            self.first.setdefault(step.id, start)
            end = start + slots
            if slots:
                for resource, amount in step.needs.items():
                    interval = self.model.new_fixed_size_interval_var(
                        start, slots, f"{step.id} {number} {resource}"
                    )
                    self.uses.setdefault(resource, []).append((interval, amount))
        self.end[step.id] = end

    def domain(self, step, slots):
        """Every start that opening hours allow."""
        low = 0
        if step.release is not None:
            low = self.case.calendar.slot_up(step.release) - self.begin
        low, high = (
            max(low, self.least.get(step.id, 0)),
            min(self.most.get(step.id, self.horizon), self.horizon),
        )
        if step.kind == "passive":
            return cp_model.Domain.from_intervals([[low, high]])
        pairs = [
            [max(a, low), min(b - slots, high)]
            for a, b in self.sessions
            if max(a, low) <= min(b - slots, high)
        ]
        return cp_model.Domain.from_intervals(pairs)

    def link(self, link):
        after, end = self.first[link.after], self.end[link.before]
        opens = math.ceil(link.open_minutes / self.slot)
        passive = next(step.kind for step in self.case.tasks if step.id == link.after) == "passive"
        if passive and self.alone[link.after] and link.close_minutes is None:
            self.model.add(after == end + opens)
            return
        self.model.add(after >= end + opens)
        if link.close_minutes is not None and self.windows:
            self.model.add(after <= end + math.floor(link.close_minutes / self.slot))

    def hold(self, span):
        start, end = self.first[span.first], self.end[span.last]
        size = self.model.new_int_var(0, self.horizon, f"held {span.first}")
        interval = self.model.new_interval_var(start, size, end, f"span {span.first}")
        self.uses.setdefault(span.resource, []).append((interval, span.amount))

    def crowd(self):
        """No more of anything at once than there is."""
        for resource, taken in self.uses.items():
            count = self.case.capacity(resource)
            if count == 1 and all(amount == 1 for _, amount in taken):
                self.model.add_no_overlap([interval for interval, _ in taken])
            else:
                self.model.add_cumulative([i for i, _ in taken], [amount for _, amount in taken], count)

    def aim(self):
        """Weight × (20 × late + end), in slots."""
        terms = []
        for project in sorted({step.project for step in self.case.tasks}):
            done = self.model.new_int_var(0, 2 * self.horizon, f"done {project}")
            for step in self.case.tasks:
                if step.project == project:
                    self.model.add(done >= self.end[step.id])
            weight = self.case.weight.get(project, 1)
            terms.append(weight * done)
            if project in self.case.due:
                due = self.case.calendar.slot_down(self.case.due[project]) - self.begin
                late = self.model.new_int_var(0, 2 * self.horizon, f"late {project}")
                self.model.add(late >= done - due)
                terms.append(weight * LATE_WEIGHT * late)
        self.model.minimize(sum(terms))

    def hint(self, plan):
        """Begin the search from a plan."""
        for name, start in self.first.items():
            at = plan.starts[name]
            if at is not None:
                slots = (in_utc(at) - self.case.calendar.moment(self.begin)) / timedelta(minutes=self.slot)
                self.model.add_hint(start, round(slots))

    def solve(self, seconds, workers=1, watch=None):
        """Status and value in minutes (none without a solution)."""
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.num_workers = workers
        status = solver.solve(self.model, watch) if watch else solver.solve(self.model)
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        value = solver.objective_value * self.slot if found else None
        return solver.status_name(status), value, solver.best_objective_bound * self.slot
