"""All models of the room, so that Django finds them."""

from workshop.models.absences import Absence
from workshop.models.hours import DayException, OpeningHours
from workshop.models.jobs import Job
from workshop.models.links import FeedLink, Invitation, PasswordReset
from workshop.models.machines import Machine
from workshop.models.people import Member, User
from workshop.models.records import Document, Event, Picture, Receipt
from workshop.models.shop import Shop

__all__ = [
    "Absence",
    "DayException",
    "Document",
    "Event",
    "FeedLink",
    "Invitation",
    "Job",
    "Machine",
    "Member",
    "OpeningHours",
    "PasswordReset",
    "Picture",
    "Receipt",
    "Shop",
    "User",
]
