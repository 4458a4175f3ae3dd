"""Tells Django about the materials room."""

from django.apps import AppConfig


class MaterialsConfig(AppConfig):
    """The materials room."""

    name = "materials"

    def ready(self):
        """A new shop finds the handbook's woods; history knows what lots are measured in."""
        from materials import actions
        from materials.models import Lot
        from workshop.actions import FOUNDING
        from workshop.told import LOT_UNITS

        if actions.furnish not in FOUNDING:
            FOUNDING.append(actions.furnish)
        if Lot.units_of not in LOT_UNITS:
            LOT_UNITS.append(Lot.units_of)
