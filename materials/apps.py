"""Tells Django about the materials room."""

from django.apps import AppConfig


class MaterialsConfig(AppConfig):
    """The materials room."""

    name = "materials"

    def ready(self):
        """What other rooms and the worker are told: new shops' woods, units of lots, the fit of a cup."""
        from materials import actions
        from materials.fit import cup_tests
        from materials.models import Lot
        from workshop import jobs
        from workshop.actions import FOUNDING
        from workshop.told import LOT_UNITS

        if actions.furnish not in FOUNDING:
            FOUNDING.append(actions.furnish)
        if Lot.units_of not in LOT_UNITS:
            LOT_UNITS.append(Lot.units_of)
        jobs.KINDS[cup_tests.KIND] = jobs.Kind(cup_tests.fit, cup_tests.page)
