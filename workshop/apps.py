"""Tells Django about the workshop room."""

from django.apps import AppConfig


class WorkshopConfig(AppConfig):
    """The workshop room."""

    name = "workshop"
