"""Tells Django about the projects room."""

from django.apps import AppConfig


class ProjectsConfig(AppConfig):
    """The projects room."""

    name = "projects"

    def ready(self):
        """Shelf, worker and receipts learn of wants, of the search for plans, and of acts taken back."""
        from materials.wanted import WANTS
        from projects.actions import plans
        from projects.models import LogEntry
        from projects.wants import wants
        from workshop import jobs, receipts

        if wants not in WANTS:
            WANTS.append(wants)
            receipts.UNDONE.append(LogEntry.objects.undone)
        jobs.KINDS[plans.KIND] = jobs.Kind(plans.search, plans.page)
