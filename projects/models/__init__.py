"""All models of the room, so that Django finds them."""

from projects.models.design import Block, Project
from projects.models.log import EntryPicture, LogEntry, Pour, Timer
from projects.models.papers import Failure, Sheet
from projects.models.steps import CheckItem, Step

__all__ = [
    "Block", "CheckItem", "EntryPicture", "Failure", "LogEntry", "Pour", "Project", "Sheet", "Step", "Timer",
]
