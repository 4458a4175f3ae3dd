"""Tells Django about the projects room."""

from django.apps import AppConfig


class ProjectsConfig(AppConfig):
    """The projects room."""

    name = "projects"

    def ready(self):
        """The shelf learns what projects want of it."""
        from materials.wanted import WANTS
        from projects.wants import wants

        if wants not in WANTS:
            WANTS.append(wants)
