"""Addresses of the workshop room: signing in, the shop, its pictures and history."""

from django.urls import path

from workshop.views import history, pictures, shop, signing

app_name = "workshop"
urlpatterns = [
    path("", signing.home, name="home"),
    path("sign-in/", signing.sign_in, name="sign-in"),
    path("sign-out/", signing.sign_out, name="sign-out"),
    path("welcome/", signing.welcome, name="welcome"),
    path("health/", shop.health, name="health"),
    path("s/<uuid:shop>/shop/", shop.shop_page, name="shop"),
    path("s/<uuid:shop>/shop/history/", history.history, name="history"),
    path("s/<uuid:shop>/shop/parts/", shop.parts, name="parts"),
    path("s/<uuid:shop>/pictures/<uuid:key>/<str:size>.jpg", pictures.picture, name="picture"),
]
