"""Changes of cup tests: read, fitted, taken away, brought back."""

from django.db import transaction
from django.urls import reverse

from materials.fit import advice
from materials.models import CupTest
from workshop import history, jobs
from workshop.models import Member
from workshop.refusals import Refused

KIND = "cup_fit"
STAGES = 4
TOO_FAR_OFF = (
    "The model can't follow these readings: it is off by {off:.0f} % of the rise. Was the thermometer in the "
    "middle of the cup, and did the clock start when the parts met? Mend the readings in a new test; until "
    "then the sheet counts."
)
NO_FIT = (
    "These readings can't be fitted: {why}. Look at mass, start and readings; until then the sheet counts."
)


@transaction.atomic
def keep(member, resin, values, *, at):
    """A cup that was read: its mass, its start, and pairs of minutes and °C."""
    test = CupTest.objects.create(
        shop=member.shop, created_at=at, created_by=member.user, resin=resin, **values
    )
    history.record(
        member,
        "read a cup of",
        test,
        at=at,
        label=resin.name,
        after={"mass_g": test.mass_g, "readings": len(test.points), "hottest_c": test.hottest_c},
    )
    return test


@transaction.atomic
def ask_for_fit(member, test, *, at):
    """Have a test fitted by the worker; it takes seconds."""
    test.job = jobs.begin(
        member,
        KIND,
        title=f"Fitting {test.resin.name} to its cup",
        total=STAGES,
        arguments={"test": str(test.key)},
        at=at,
    )
    test.save(update_fields=["job"])
    return test.job


def fit(running):
    """The worker's part: the fit to the readings, then the safe side and the cool end."""
    job = running.job
    rows = CupTest.objects.of(job.shop).select_related("resin", "shop")
    test = rows.get(key=job.arguments["test"])
    running.report(1, "Looking for the heat and pace that give these readings; the longest part.")
    try:
        found = advice.fit_test(test)
        if found.residual_percent > advice.MOST_OFF_PERCENT:
            raise Refused(TOO_FAR_OFF.format(off=found.residual_percent))
        running.report(2, "Looking for its safe side.")
        figures = advice.figures_of(found)
    except advice.UNFITTED as problem:
        raise Refused(NO_FIT.format(why=problem)) from problem
    running.report(3, "Writing it down.")
    store(test, figures, found.residual_percent, at=running.now())
    return {"residual_percent": found.residual_percent}


def fitted(test, calibration, *, at):
    """What was fitted to a test becomes its figures; forecasts of the resin rest on them from now on."""
    return store(test, advice.figures_of(calibration), calibration.residual_percent, at=at)


@transaction.atomic
def store(test, figures, residual_percent, *, at):
    """Keep the figures with the test; who read the cup stands in the history."""
    locked = CupTest.objects.select_for_update().select_related("resin", "shop").get(pk=test.pk)
    locked.fitted, locked.residual_percent = figures, residual_percent
    locked.save(update_fields=["fitted", "residual_percent"])
    reader = Member.objects.of(locked.shop).get(user=locked.created_by)
    nominal = figures["bands"]["nominal"]
    history.record(
        reader,
        "fitted to a cup",
        locked,
        at=at,
        label=locked.resin.name,
        after={
            "heat_j_per_kg": round(nominal["heat_j_per_kg"]),
            "residual_percent": round(residual_percent, 2),
        },
    )
    return locked


@transaction.atomic
def remove(member, test, *, at, removed):
    """Take a test away, or bring it back; forecasts rest on the newest that is left."""
    locked = CupTest.objects.select_for_update().select_related("resin").get(pk=test.pk)
    if bool(locked.removed_at) == removed:
        return locked
    locked.removed_at = at if removed else None
    locked.save(update_fields=["removed_at"])
    history.record(member, "removed" if removed else "brought back", locked, at=at, label=str(locked))
    return locked


def page(job):
    """Where a fit is shown."""
    return reverse("materials:cup-test", args=[job.shop.key, job.arguments["test"]])
