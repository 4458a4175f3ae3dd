"""Tells Django about the projects room."""

from django.apps import AppConfig


class ProjectsConfig(AppConfig):
    """The projects room."""

    name = "projects"

    def ready(self):
        """The shelf learns what projects want of it, and the worker how plans are searched for."""
        from materials.wanted import WANTS
        from projects.actions import plans
        from projects.wants import wants
        from workshop import jobs

        if wants not in WANTS:
            WANTS.append(wants)
        jobs.KINDS[plans.KIND] = jobs.Kind(plans.search, plans.page)
