"""Addresses of the materials room, all below `/s/<shop>/`."""

from django.urls import path

from materials.views import lots, resins, shelf

app_name = "materials"
urlpatterns = [
    path("shelf/", shelf.shelf, name="shelf"),
    path("shelf/bottles/", shelf.bottles_in, name="bottles-in"),
    path("shelf/bundle/", shelf.bundle_in, name="bundle-in"),
    path("shelf/lots/<uuid:key>/", lots.lot, name="lot"),
    path("shelf/lots/<uuid:key>/lines/<uuid:line>/", lots.reverse_line, name="line-reverse"),
    path("shelf/resins/new/", resins.resin_new, name="resin-new"),
    path("shelf/resins/<uuid:key>/", resins.resin, name="resin"),
]
