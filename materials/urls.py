"""Addresses of the materials room, all below `/s/<shop>/`."""

from django.urls import path

from materials.views import buying, coming_in, cup_tests, fit, lots, resins, shelf, supplies, woods

app_name = "materials"
lot = "shelf/lots/<uuid:key>"
urlpatterns = [
    path("shelf/", shelf.shelf, name="shelf"),
    path("shelf/buy/", buying.what_to_buy, name="what-to-buy"),
    path("shelf/in/", coming_in.something_in, name="something-in"),
    path("shelf/in/<slug:kind>/", coming_in.lot_in, name="lot-in"),
    path("shelf/bottles/", coming_in.bottles_in, name="bottles-in"),
    path("shelf/bundle/", coming_in.bundle_in, name="bundle-in"),
    path(f"{lot}/", lots.lot, name="lot"),
    path(f"{lot}/ticket/", lots.lot_ticket, name="lot-ticket"),
    path(f"{lot}/open/", lots.lot_open, name="lot-open"),
    path(f"{lot}/level/", lots.lot_level, name="lot-level"),
    path(f"{lot}/off/", lots.lot_off, name="lot-off"),
    path(f"{lot}/lines/<uuid:line>/", lots.reverse_line, name="line-reverse"),
    path("shelf/supplies/", supplies.supply_list, name="supplies"),
    path("shelf/supplies/new/<slug:kind>/", supplies.supply_new, name="supply-new"),
    path("shelf/supplies/<uuid:key>/", supplies.supply, name="supply"),
    path("shelf/supplies/<uuid:key>/remove/", supplies.supply_remove, name="supply-remove"),
    path("shelf/resins/new/", resins.resin_new, name="resin-new"),
    path("shelf/resins/<uuid:key>/", resins.resin, name="resin"),
    path("shelf/woods/", woods.wood_list, name="woods"),
    path("shelf/woods/new/", woods.wood_new, name="wood-new"),
    path("shelf/woods/<uuid:key>/", woods.wood, name="wood"),
    path("shelf/resins/<uuid:key>/fit/", fit.resin_fit, name="resin-fit"),
    path("shelf/resins/<uuid:key>/cups/", cup_tests.cup_list, name="cup-tests"),
    path("shelf/resins/<uuid:key>/cups/new/", cup_tests.cup_test_new, name="cup-test-new"),
    path("shelf/cups/<uuid:key>/", cup_tests.cup_test, name="cup-test"),
    path("shelf/cups/<uuid:key>/remove/", cup_tests.cup_test_remove, name="cup-test-remove"),
]
