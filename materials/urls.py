"""Addresses of the materials room, all below `/s/<shop>/`."""

from django.urls import path

from materials.views import cup_tests, fit, lots, resins, shelf

app_name = "materials"
urlpatterns = [
    path("shelf/", shelf.shelf, name="shelf"),
    path("shelf/bottles/", shelf.bottles_in, name="bottles-in"),
    path("shelf/bundle/", shelf.bundle_in, name="bundle-in"),
    path("shelf/lots/<uuid:key>/", lots.lot, name="lot"),
    path("shelf/lots/<uuid:key>/lines/<uuid:line>/", lots.reverse_line, name="line-reverse"),
    path("shelf/resins/new/", resins.resin_new, name="resin-new"),
    path("shelf/resins/<uuid:key>/", resins.resin, name="resin"),
    path("shelf/resins/<uuid:key>/fit/", fit.resin_fit, name="resin-fit"),
    path("shelf/resins/<uuid:key>/cups/", cup_tests.cup_list, name="cup-tests"),
    path("shelf/resins/<uuid:key>/cups/new/", cup_tests.cup_test_new, name="cup-test-new"),
    path("shelf/cups/<uuid:key>/", cup_tests.cup_test, name="cup-test"),
    path("shelf/cups/<uuid:key>/remove/", cup_tests.cup_test_remove, name="cup-test-remove"),
]
