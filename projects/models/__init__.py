"""All models of the room, so that Django finds them."""

from projects.models.design import Block, Project
from projects.models.failures import Cause, Failure, Lesson
from projects.models.feed import FeedItem
from projects.models.flaws import Flaw
from projects.models.log import EntryPicture, LogEntry, Overrule, Pour, Timer
from projects.models.needs import Need
from projects.models.panels import PanelDesign, PieceMark
from projects.models.papers import Sheet
from projects.models.plans import Plan, PlanSlot
from projects.models.routes import Route, StepLink
from projects.models.sanding import SandingSession
from projects.models.steps import CheckItem, RouteChange, Step

__all__ = [
    "Block",
    "Cause",
    "CheckItem",
    "EntryPicture",
    "Failure",
    "Flaw",
    "FeedItem",
    "Lesson",
    "LogEntry",
    "Need",
    "Overrule",
    "PanelDesign",
    "PieceMark",
    "Plan",
    "PlanSlot",
    "Pour",
    "Project",
    "Route",
    "RouteChange",
    "SandingSession",
    "Sheet",
    "Step",
    "StepLink",
    "Timer",
]
