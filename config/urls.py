"""All addresses. Everything but a few public pages of the workshop lies below `/s/<shop>/`."""

from django.urls import include, path

from projects.views import feed

urlpatterns = [
    path("", include("workshop.urls")),
    path("calendar/<str:token>.ics", feed.calendar, name="calendar"),
    path("s/<uuid:shop>/", include("materials.urls")),
    path("s/<uuid:shop>/", include("projects.urls")),
]

handler403 = "workshop.views.errors.forbidden"
handler404 = "workshop.views.errors.missing"
handler500 = "workshop.views.errors.broken"
