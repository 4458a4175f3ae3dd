"""Days away, entered and taken out on the page of the people."""

from django.views.decorators.http import require_POST

from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.changes import absences
from workshop.forms.absences import AwayForm
from workshop.forms.people import DeedForm
from workshop.models import Absence, Member
from workshop.views.answers import form_again
from workshop.views.people import page_of, people_url

PAGE = "workshop/people.html"


@shop_view
@require_POST
def enter(request):
    """Somebody is away for some days."""
    present = Member.objects.of(request.shop).present().select_related("user").order_by("name", "pk")
    form = AwayForm(request.POST, shop=request.shop, people=absences.who_can_be_away(request.member, present))

    def act(key, moment):
        typed = form.cleaned_data
        absences.enter(
            request.member, typed["who"], typed["first_day"], typed["last_day"],
            at=moment.received_at, note=typed["note"],
        )  # fmt: skip
        return people_url(request)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, page_of(request, DeedForm(shop=request.shop), away_form=form))


def act_on_days(request, key, deed):
    """Take days out or put them back, and come back to the people."""
    row = get_row(Absence.objects.select_related("shop", "member"), request, key)
    form = DeedForm(request.POST, shop=request.shop)

    def act(act_key, moment):
        deed(request.member, row, at=moment.received_at)
        return people_url(request)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, page_of(request, form))


@shop_view
@require_POST
def take_out(request, key):
    """These days no longer count."""
    return act_on_days(request, key, absences.take_out)


@shop_view
@require_POST
def put_back(request, key):
    """They count again."""
    return act_on_days(request, key, absences.put_back)
