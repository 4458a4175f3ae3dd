"""All addresses. Everything but a few public pages of the workshop lies below `/s/<shop>/`."""

from django.urls import include, path

urlpatterns = [
    path("", include("workshop.urls")),
    path("s/<uuid:shop>/", include("materials.urls")),
    path("s/<uuid:shop>/", include("projects.urls")),
]

handler403 = "workshop.views.errors.forbidden"
handler404 = "workshop.views.errors.missing"
handler500 = "workshop.views.errors.broken"
