"""The demo as it stands in the database, told once for this file: whole, and with a cause to find."""

import json
import re
from datetime import UTC, date, datetime, timedelta

import pytest
from django.apps import apps
from django.db import connection, transaction
from django.db.models import F, Sum
from django.test import override_settings

from materials.fit import advice as fits
from materials.models import Batch, CupTest, Lot, Movement, Resin
from projects import fold
from projects.actions import dry_fit, log, moving, sanding
from projects.demo import load
from projects.geometry.patterns.registry import PATTERNS
from projects.models import (
    CheckItem,
    Failure,
    Lesson,
    LogEntry,
    PanelDesign,
    PieceMark,
    Pour,
    Project,
    SandingSession,
    Step,
    Timer,
)  # fmt: skip
from projects.moving import FOLLOWS
from projects.panel import casting, rows
from tests.test_tenancy import ROWS, pointers
from workshop.models import Event, Member, Picture, Shop, User

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
ANCHOR = datetime(2026, 3, 11, 10, 30, tzinfo=UTC)
APART = timedelta(weeks=5)
COLD_C = 15
MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]


@pytest.fixture(scope="module")
def told_twice(django_db_setup, django_db_blocker, tmp_path_factory):
    """Two loads whose anchors lie five weeks apart, the first gone again; the second stays for this file."""
    media = tmp_path_factory.mktemp("demo")
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=media / "first"), transaction.atomic():
        load.load(ANCHOR - APART)
        first = dumped(shift=APART)
        transaction.set_rollback(True)
    with (
        django_db_blocker.unblock(),
        override_settings(MEDIA_ROOT=media / "second"),
        transaction.atomic(),
    ):
        loaded = load.load(ANCHOR)
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute(
                    "ANALYZE"
                )  # in its own transaction nothing has told it how large the tables are
        files = {path.name for path in (media / "second" / "pictures" / str(loaded.shop.key)).iterdir()}
        yield {"loaded": loaded, "first": first, "files": files}
        transaction.set_rollback(True)


@pytest.fixture
def shop(told_twice):
    """The demo's shop."""
    return Shop.objects.get(pk=told_twice["loaded"].shop.pk)


def dumped(shift=timedelta(0)):
    """All rows of all tables as texts, in the order of their keys, every moment and date moved by `shift`."""
    names = {model: dict(model.objects.values_list("pk", "key")) for model in [*ROWS, Shop]}
    names[User] = dict(User.objects.values_list("pk", "email"))
    found = {}
    for model in [*ROWS, Shop]:
        linked = model.objects.prefetch_related(*(link.name for link in model._meta.many_to_many))
        rows = [json.dumps(plain(row, names), sort_keys=True, default=str) for row in linked]
        found[model.__name__] = sorted(moved(row, shift) for row in rows)
    return found


def plain(row, names):
    """A row by names, other rows by their keys; without passwords and numbers of the database."""
    values = {}
    for field in row._meta.fields:
        # a PDF holds the date it was made, a plan's hash the dates it was made from
        if field.primary_key or field.name in {"pdf_sha256", "input_hash"}:
            continue
        value = getattr(row, field.attname)
        if field.remote_field and value is not None:
            value = str(names[field.related_model][value])
        values[field.name] = without_months(value) if field.name == "detail" else value
    for link in row._meta.many_to_many:
        values[link.name] = sorted(str(one.key) for one in getattr(row, link.name).all())
    return values


def without_months(detail):
    """An entry's detail without the days that a bottle still keeps: its months are not equally long."""
    if "findings" not in detail:
        return detail
    kept = [one if one["code"] != "lots" else one | {"figure": None} for one in detail["findings"]]
    return detail | {"findings": kept}


STAMP = re.compile(r"\d{4}-\d\d-\d\d(?:[ T]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:\+\d\d:\d\d|Z)?)?")
SPOKEN = re.compile(r"(\d{1,2}) (" + "|".join(MONTHS) + r") (\d{4})")


def moved(text, shift):
    """A text with every moment and date in it moved."""

    def stamp(match):
        found = match.group()
        whole = datetime.fromisoformat(found.replace("Z", "+00:00")) + shift
        return str(whole.date()) if len(found) == 10 else str(whole)

    def spoken(match):
        day, month, year = match.groups()
        then = date(int(year), MONTHS.index(month) + 1, int(day)) + shift
        return f"{then.day} {then:%B %Y}"

    return SPOKEN.sub(spoken, STAMP.sub(stamp, text))


def facts(model, *names):
    """Some columns of a table by key."""
    return {row[0]: row[1:] for row in model.objects.values_list("key", *names)}


# two loads


def test_two_loads_are_equal_but_for_their_anchors(told_twice):
    second = dumped()
    assert {name: len(rows) for name, rows in second.items()} == {
        name: len(rows) for name, rows in told_twice["first"].items()
    }
    different = {
        name: [pair for pair in zip(rows, told_twice["first"][name], strict=True) if pair[0] != pair[1]][:1]
        for name, rows in second.items()
    }
    assert {name: pairs for name, pairs in different.items() if pairs} == {}


# as promised


def test_three_people_work_in_a_shop_that_says_it_is_a_demo(shop):
    assert shop.is_demo
    roles = Member.objects.of(shop).present().order_by("pk").values_list("role", flat=True)
    assert list(roles) == ["owner", "maker", "viewer"]


def test_projects_stand_in_all_states(shop):
    states = list(Project.objects.of(shop).values_list("state", flat=True))
    assert len(states) == 26
    assert set(states) == set(Project.State.values)


def test_the_shop_remembers_two_years(shop):
    entries = LogEntry.objects.of(shop).order_by("happened_at")
    assert ANCHOR - entries.first().happened_at > timedelta(days=720)
    assert entries.last().happened_at <= ANCHOR


def test_there_are_fifty_pours_with_cups_whose_air_was_read(shop):
    assert Pour.objects.of(shop).count() == 50
    assert not Pour.objects.of(shop).filter(batches=None).exists()
    assert not Batch.objects.of(shop).filter(humidity_percent=None).exists()


def test_pours_too_cold_too_late_or_off_their_ratio_have_their_reasons(shop):
    kept = [entry.detail["all_the_same"] for entry in LogEntry.objects.of(shop).done_all_the_same()]
    said = [re.sub(r"^[\d:]+\s\w+ ", "", name) for each in kept for name in each["against"]]
    assert {" ".join(name.split()[:2]) for name in said} == {"shop at", "after its", "before the", "cup 2"}
    assert all(each["why"] for each in kept)


def test_every_act_of_the_bench_was_done(shop):
    kinds = set(LogEntry.objects.of(shop).values_list("kind", flat=True))
    assert set(LogEntry.Kind.values) - kinds == set()


def test_there_is_a_row_of_every_kind_but_receipts_jobs_and_calendars(shop):
    """Receipts and jobs are begun by forms, calendars by a program. A new kind wants its place."""
    missing = {model.__name__ for model in ROWS if not model.objects.of(shop).exists()}
    assert missing == {"Receipt", "Job", "FeedLink", "FeedItem"}


def test_clocks_run_at_the_anchor(shop):
    running = set(Timer.objects.of(shop).running().values_list("kind", flat=True))
    assert running == {"recoat", "demould", "full_cure", "clamped", "coat", "wait", "free"}


def test_the_window_of_the_next_pour_opens_soon_after_the_anchor(shop):
    window = Timer.objects.of(shop).running().get(kind="recoat")
    assert ANCHOR < window.due_at < ANCHOR + timedelta(hours=4) < window.closes_at


def test_somebody_is_sanding_at_the_anchor(shop):
    session = SandingSession.objects.of(shop).going_on().get()
    assert (session.grade, session.system) == ("180", "P")


def test_failures_have_causes_and_photos(shop):
    failures = Failure.objects.of(shop)
    assert failures.count() == 11
    assert not failures.filter(causes=None).exists()
    assert not failures.filter(entry__entry_pictures=None).exists()


def test_what_was_learned_stands_on_the_checklists_of_later_steps(shop):
    for lesson in Lesson.objects.of(shop):
        later = CheckItem.objects.filter(lesson=lesson, step__project__created_at__gt=lesson.created_at)
        assert later.exists(), lesson.sentence


def test_every_photo_lies_in_the_media_store(shop, told_twice):
    keys = {str(key) for key in Picture.objects.of(shop).values_list("key", flat=True)}
    assert len(keys) >= 35
    assert told_twice["files"] == {f"{key}-{size}.jpg" for key in keys for size in ("master", "small")}


@pytest.mark.parametrize(
    "what",
    [
        {"condition": "crystallised"},
        {"condition": "darkened"},
        {"use_by__lt": ANCHOR.date(), "removed_at": None},
        {"level": "low"},
        {"level": "gone"},
        {"kind": "leftover"},
        {"movements__kind": "count"},
        {"movements__kind": "waste"},
        {"movements__kind": "reverse"},
    ],
    ids=lambda what: " ".join(map(str, what)),
)
def test_the_shelf_has_had_all_that_can_happen_to_a_lot(shop, what):
    assert Lot.objects.of(shop).filter(**what).exists()


# panels and cups


def test_every_pattern_is_somebodys_panel(shop):
    assert set(PanelDesign.objects.of(shop).values_list("pattern", flat=True)) == set(PATTERNS)


def test_pieces_that_are_planned_under_way_and_finished_have_their_panel(shop):
    panels = PanelDesign.objects.of(shop)
    states = {Project.State.PLANNED, Project.State.UNDER_WAY, Project.State.FINISHED}
    pieces = Project.objects.of(shop).filter(purpose="piece", state__in=states)
    assert states <= set(panels.values_list("project__state", flat=True))
    assert not pieces.filter(panel=None).exists()


def test_every_panel_comes_out_of_one_block_as_long_and_wide_as_it_is_planned(shop):
    for row in PanelDesign.objects.of(shop).select_related("project__shop"):
        kept, block = rows.kept_of(row.project), row.project.blocks.get()
        asked = casting.from_panel(kept, block)
        assert (asked.blocks, asked.strips, asked.length_mm) == (1, block.strips, block.length_mm), row
        assert (row.hash, block.species_id is None) == (kept.version, False), row


def test_pieces_lie_ticked_where_the_dry_fit_is_over(shop):
    fitted = (
        Step.objects.of(shop)
        .filter(kind=Step.Kind.DRY_FIT, state=Step.State.DONE)
        .exclude(project__panel=None)
    )
    missing = {step.project.title: len(dry_fit.unticked(step.project)) for step in fitted}
    assert {title for title, many in missing.items() if many} == {"Tide lines, wall panel"}
    assert len(missing) > 12
    assert PieceMark.objects.of(shop).filter(state=PieceMark.State.TURNED).count() == 3


def test_no_piece_is_ticked_on_a_map_that_is_not_in_force(shop):
    hashes = dict(PanelDesign.objects.of(shop).values_list("project", "hash"))
    marks = set(PieceMark.objects.of(shop).values_list("project", "hash"))
    assert marks <= set(hashes.items())


def test_forecasts_of_the_deep_resin_rest_on_a_cup_that_the_model_follows(shop):
    resin = Resin.objects.of(shop).get(name="Meer 48")
    test = CupTest.objects.of(shop).in_use(resin)
    assert fits.bands_of(resin).test == test
    assert timedelta(weeks=12) < ANCHOR - test.taken_at
    assert test.residual_percent < 1
    assert CupTest.objects.of(shop).exclude(removed_at=None).get().fitted is None


# a cause to find


def test_the_cold_pours_went_soft_and_the_warm_ones_did_not(shop):
    soft, poured = {True: 0, False: 0}, {True: 0, False: 0}
    for pour in Pour.objects.of(shop).prefetch_related("batches"):
        cold = min(batch.room_c for batch in pour.batches.all()) < COLD_C
        poured[cold] += 1
        soft[cold] += pour.failures.filter(kind=Failure.Kind.SOFT).exists()
    assert (poured, soft) == ({True: 5, False: 45}, {True: 4, False: 1})


# consistent


def test_a_reading_has_moved_clocks_that_run(shop):
    moved = [timer for timer in Timer.objects.of(shop).running() if timer.figures.get("moves")]
    assert {timer.kind for timer in moved} >= {"recoat", "demould"}
    assert {timer.figures["moves"][-1]["temp_c"] for timer in moved if timer.due_at > ANCHOR} == {26.5}


def test_folding_the_log_gives_every_step_the_state_it_has(shop):
    names = ("state", "started_at", "ended_at")
    before = facts(Step, *names)
    for step in Step.objects.of(shop):
        log.follow(step)
    assert facts(Step, *names) == before


def test_folding_the_log_and_the_readings_gives_every_clock_that_there_is(shop):
    names = ("started_at", "early_at", "due_at", "closes_at", "figures")
    before = facts(Timer, *names)
    clocks = {
        (entry.key, clock.kind): clock
        for entry in LogEntry.objects.of(shop)
        for clock in fold.clocks_of(log.happened(entry))
    }
    for timer in Timer.objects.of(shop).select_related("entry"):
        moving.store(timer, clocks.pop((timer.entry.key, timer.kind)), [])
    assert clocks == {}
    moving.follow(Timer.objects.of(shop).filter(law__in=FOLLOWS))
    assert facts(Timer, *names) == before


def test_folding_the_log_gives_every_sanding_session_its_times(shop):
    for session in SandingSession.objects.of(shop):
        times = fold.sanding_times(sanding.happened_in(session))
        assert (times.started_at, times.ended_at) == (session.started_at, session.ended_at)
        assert len(times.pauses) == len(session.pauses)


def test_no_ledger_is_below_nothing(shop):
    short = [lot for lot in Lot.objects.of(shop).with_on_hand() if lot.on_hand_thousandths < 0]
    assert short == []


def test_what_left_the_bottles_is_what_went_into_the_cups(shop):
    for batch in Batch.objects.of(shop).select_related("lot_a", "lot_b"):
        keys = list(batch.entries.values_list("key", flat=True))
        for lot, grams in ((batch.lot_a, batch.actual_a_g), (batch.lot_b, batch.actual_b_g)):
            lines = Movement.objects.filter(lot=lot, act_key__in=keys, reversed_by=None)
            assert lines.aggregate(drawn=Sum("thousandths"))["drawn"] == -round(grams * 1000)


def test_all_rows_are_of_this_shop_along_every_pointer(shop):
    wrong = {}
    for model in ROWS:
        assert model.objects.exclude(shop=shop).count() == 0
        for link in pointers(model):
            strangers = model.objects.exclude(**{link.name: None}).exclude(
                **{f"{link.name}__shop": F("shop")}
            )
            if strangers.exists():
                wrong[f"{model.__name__}.{link.name}"] = strangers.count()
    assert wrong == {}


def test_history_and_log_hold_nothing_that_is_to_come(shop):
    assert not Event.objects.of(shop).filter(at__gt=ANCHOR).exists()
    assert not LogEntry.objects.of(shop).filter(happened_at__gt=ANCHOR).exists()
    for model in apps.get_app_config("projects").get_models():
        assert not model.objects.filter(created_at__gt=ANCHOR).exists()


def test_what_goes_on_now_does_not_depend_on_the_weekday_of_the_anchor(shop):
    """What is history ends on the Saturday before: even early on a Monday it is past."""
    monday = ANCHOR.date() - timedelta(days=ANCHOR.weekday())
    saturday = datetime(monday.year, monday.month, monday.day, tzinfo=UTC) - timedelta(hours=36)
    between = LogEntry.objects.filter(happened_at__gt=saturday, happened_at__lt=ANCHOR - timedelta(hours=40))
    assert list(between.values_list("text", flat=True)) == []
