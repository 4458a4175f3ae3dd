"""Cup tests of a resin: reading one, seeing it fitted, taking it away."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from materials.fit import advice, cup_tests, pictures, told
from materials.fit.forms import CupTestForm
from materials.models import CupTest, Resin
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again, go_to
from workshop.views.jobs import job_context

PAGE = 10
NEW = "materials/cup_test_new.html"


def resin_of(request, key):
    """A resin that is kept."""
    return get_row(Resin.objects.filter(removed_at=None).select_related("shop"), request, key)


def test_of(request, key):
    """A cup test with all that its page names."""
    return get_row(CupTest.objects.select_related("resin__shop", "shop", "job", "batch"), request, key)


@shop_view
@require_safe
def cup_list(request, key):
    """All cups of a resin that were read, the newest first."""
    row = resin_of(request, key)
    rows = CupTest.objects.of(request.shop).filter(resin=row).select_related("shop", "job", "created_by")
    page = Paginator(rows.newest_first(), PAGE).get_page(request.GET.get("page"))
    context = {"resin": row, "page": page, "in_use": rows.in_use(row), "room": "shelf"}
    return render(request, "materials/cup_tests.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def cup_test_new(request, key):
    """The readings of a cup, typed or handed in; the worker fits the model to them."""
    row = resin_of(request, key)
    form = CupTestForm(
        request.POST or None,
        request.FILES or None,
        initial={"mass_g": row.pot_mass_g, "temp_c": request.shop.day_c, "taken_on": timezone.localdate()},
        shop=request.shop,
        resin=row,
    )
    context = {"resin": row, "form": form, "room": "shelf"}
    if request.method == "GET":
        return render(request, NEW, context)

    def act(act_key, moment):
        values = form.values(moment.happened_at)
        test = cup_tests.keep(request.member, row, values, at=moment.received_at)
        cup_tests.ask_for_fit(request.member, test, at=moment.received_at)
        return reverse("materials:cup-test", args=[request.shop.key, test.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, NEW, context)


@shop_view
@require_safe
def cup_test(request, key):
    """A cup that was read: its fit under way, or the curves before and after with what was measured."""
    test, at = test_of(request, key), timezone.now()
    in_use = CupTest.objects.of(request.shop).in_use(test.resin)
    context = {
        "test": test,
        "resin": test.resin,
        "is_in_use": in_use is not None and in_use.pk == test.pk,
        "room": "shelf",
        **(job_context(test.job, at) if test.job else {}),
        **(fitted_context(test, request.shop.units) if test.fitted else {}),
    }
    return render(request, "materials/cup_test.html", context)


def fitted_context(test, system):
    """Before and after, drawn together, and what changed."""
    after = advice.by_test(advice.sheet_of(test.resin), test)
    cup = advice.cup_of(after.kinetics, test.mass_g, test.temp_c)
    before, changes = (), ()
    try:
        own = advice.by_sheet(after.sheet).kinetics
        before = advice.cup_of(own, test.mass_g, test.temp_c).curves["nominal"]
        changes = told.changes(test, own["nominal"], after.kinetics["nominal"], system)
    except advice.UNFITTED:
        pass  # a sheet that can't be fitted has nothing before the test
    points = tuple(map(tuple, test.points))
    return {
        "drawings": pictures.of_cup(cup, system, before=before, points=points),
        "changes": changes,
        "follows": told.follows(test.residual_percent),
        "flags": after.flags,
    }


@shop_view
@require_POST
def cup_test_remove(request, key):
    """Take a test away, or bring it back."""
    test = test_of(request, key)
    removed = request.POST.get("removed") == "yes"
    cup_tests.remove(request.member, test, at=timezone.now(), removed=removed)
    return go_to(request, reverse("materials:cup-test", args=[request.shop.key, test.key]))
