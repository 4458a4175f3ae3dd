"""Windows that can't be met: which is given up, and what stays undone because of one that may not be."""

from dataclasses import dataclass, field

from projects.planning.calendar import Calendar
from projects.planning.grid import SANDING_MINUTES, Edge, Grid


class Missed(Exception):  # noqa: N818  (it is what happened to a window, not a fault)
    """A window can't be met, whatever the node before it does.

    Parameters: edge; needed, the first slot at which the node after could start; closed, the last at which
    it should; first as it was met with, then at its last try.

    >>> from projects.planning.grid import Lag
    >>> Missed(Edge(0, 1, Lag()), needed=20, closed=12).needed
    20
    """

    def __init__(self, edge: Edge, needed: int, closed: int) -> None:
        super().__init__(edge.before, edge.after)
        self.edge, self.needed, self.closed = edge, needed, closed


@dataclass
class Relief:
    """What a plan gives up so that there is one.

    `dropped` are the edges whose windows are not kept: sanded instead; `absent` the nodes that find no
    place; `extra` the slots that sanding adds to a node.

    >>> Relief().dropped
    set()
    """

    sanding: int = SANDING_MINUTES // 5
    dropped: set[int] = field(default_factory=set)
    absent: set[int] = field(default_factory=set)
    extra: dict[int, int] = field(default_factory=dict)
    relaxed: list[Edge] = field(default_factory=list)
    blocked: list[Missed] = field(default_factory=list)
    misfits: dict[int, str] = field(default_factory=dict)

    @classmethod
    def of(cls, calendar: Calendar) -> "Relief":
        """One that gives up nothing yet, on a calendar's grid."""
        return cls(sanding=-(-SANDING_MINUTES // calendar.minutes))

    def copy(self) -> "Relief":
        """One of the same content that can be changed by itself."""
        return Relief(
            self.sanding,
            set(self.dropped),
            set(self.absent),
            dict(self.extra),
            list(self.relaxed),
            list(self.blocked),
            dict(self.misfits),
        )

    def keeps(self, edge: Edge) -> bool:
        """Whether the window of an edge counts."""
        return edge.lag.has_window and id(edge) not in self.dropped

    def give_up(self, grid: Grid, missed: Missed) -> None:
        """Sand instead where that is possible; else leave out the step and all behind it."""
        edge = missed.edge
        self.dropped.add(id(edge))
        if edge.link is not None and edge.link.hard and edge.link.has_window:
            self.blocked.append(missed)
            self.leave_out(grid, edge.after, "")
            return
        self.relaxed.append(edge)
        if grid.task[edge.after].kind == "hands_on":
            self.extra[edge.after] = self.sanding

    def leave_out(self, grid: Grid, node: int, reason: str) -> None:
        """No place for a node nor for anything behind it."""
        if reason:
            self.misfits[node] = reason
        waiting = [node]
        while waiting:
            each = waiting.pop()
            if each not in self.absent and grid.fixed[each] is None:
                self.absent.add(each)
                waiting += [edge.after for edge in grid.out_of[each]]
