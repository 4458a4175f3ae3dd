"""Tells Django about the materials room."""

from django.apps import AppConfig


class MaterialsConfig(AppConfig):
    """The materials room."""

    name = "materials"

    def ready(self):
        """A new shop finds the handbook's woods on its shelf list."""
        from materials import actions
        from workshop.actions import FOUNDING

        if actions.furnish not in FOUNDING:
            FOUNDING.append(actions.furnish)
