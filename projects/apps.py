"""Tells Django about the projects room."""

from django.apps import AppConfig


class ProjectsConfig(AppConfig):
    """The projects room."""

    name = "projects"
