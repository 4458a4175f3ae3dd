"""All models of the room, so that Django finds them."""

from workshop.models.people import Member, User
from workshop.models.records import Event, Picture, Receipt
from workshop.models.shop import Shop

__all__ = ["Event", "Member", "Picture", "Receipt", "Shop", "User"]
