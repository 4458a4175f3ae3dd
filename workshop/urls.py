"""Addresses of the workshop room: signing in, the shop, its pictures and history."""

from datetime import date

from django.urls import path, register_converter

from workshop.views import (
    absences,
    account,
    documents,
    history,
    hours,
    jobs,
    joining,
    machines,
    parts,
    people,
    pictures,
    shop,
    shops,
    signing,
)


class DateConverter:
    """A date in an address: 2026-12-24."""

    regex = r"\d{4}-\d{2}-\d{2}"

    def to_python(self, value):
        return date.fromisoformat(value)

    def to_url(self, value):
        return str(value)


app_name = "workshop"
SHOP = "s/<uuid:shop>/shop/"
register_converter(DateConverter, "date")
urlpatterns = [
    path("", signing.home, name="home"),
    path("sign-in/", signing.sign_in, name="sign-in"),
    path("sign-out/", signing.sign_out, name="sign-out"),
    path("welcome/", signing.welcome, name="welcome"),
    path("welcome/demo/", signing.look_around, name="look-around"),
    path("health/", shop.health, name="health"),
    path("favicon.ico", shop.icon, name="icon"),
    path("password/", account.password, name="password"),
    path("password/lost/", account.reset_ask, name="reset-ask"),
    path("password/new/<str:token>/", account.reset, name="reset"),
    path("join/<str:token>/", joining.join, name="join"),
    path("shops/", shops.shops, name="shops"),
    path("shops/new/", shops.shop_new, name="shop-new"),
    path(SHOP, shop.shop_page, name="shop"),
    path(SHOP + "people/", people.people_page, name="people"),
    path(SHOP + "people/away/", absences.enter, name="away"),
    path(SHOP + "people/away/<uuid:key>/take-out/", absences.take_out, name="away-out"),
    path(SHOP + "people/away/<uuid:key>/put-back/", absences.put_back, name="away-back"),
    path(SHOP + "people/invite/", people.invite, name="invite"),
    path(SHOP + "people/invitations/<uuid:key>/", people.invitation, name="invitation"),
    path(
        SHOP + "people/invitations/<uuid:key>/take-back/", people.invitation_revoke, name="invitation-revoke"
    ),
    path(SHOP + "people/<uuid:key>/", people.member_page, name="member"),
    path(SHOP + "people/<uuid:key>/remove/", people.member_remove, name="member-remove"),
    path(SHOP + "people/<uuid:key>/take-in/", people.take_in_again, name="member-take-in"),
    path(SHOP + "leave/", people.leave, name="leave"),
    path(SHOP + "hours/", hours.hours_page, name="hours"),
    path(SHOP + "hours/days/", hours.day_set, name="day-set"),
    path(SHOP + "hours/days/<date:day>/as-usual/", hours.day_usual, name="day-usual"),
    path(SHOP + "hours/<uuid:key>/put-back/", hours.hours_undo, name="hours-undo"),
    path(SHOP + "machines/", machines.machine_list, name="machines"),
    path(SHOP + "machines/new/<slug:kind>/", machines.machine_new, name="machine-new"),
    path(SHOP + "machines/<uuid:key>/", machines.machine, name="machine"),
    path(SHOP + "machines/<uuid:key>/retire/", machines.machine_retire, name="machine-retire"),
    path(SHOP + "jobs/<uuid:key>/", jobs.job, name="job"),
    path(SHOP + "jobs/<uuid:key>/again/", jobs.job_again, name="job-again"),
    path(SHOP + "history/", history.history, name="history"),
    path(SHOP + "parts/", parts.parts, name="parts"),
    path("s/<uuid:shop>/documents/<uuid:key>.pdf", documents.document, name="document"),
    path("s/<uuid:shop>/pictures/<uuid:key>/<str:size>.jpg", pictures.picture, name="picture"),
]
