"""Which objections stand against which act, from rows as the bench leaves them."""

from datetime import timedelta

import pytest

from projects import against, mixing, second_look
from projects.actions import bench as acts
from projects.actions import check, coat, glue, mould, readings, seal, work
from projects.check import asked, facts
from projects.forms.projects import BlockForm
from projects.models import Block, Timer
from tests.factories import AT, Bench, BundleFactory, FinishFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db

H = 60


class Route(Bench):
    """A pour at the bench with steps around it, each of the block but those of the panel."""

    def __init__(self, **resin):
        super().__init__(**resin)
        self.step.position = 5
        self.step.save()

    def at(self, kind, position=9, *, of_panel=False):
        """A step of a kind in the route."""
        block = {"block": None, "project": self.project} if of_panel else {"block": self.block}
        return StepFactory(shop=self.shop, kind=kind, position=position, title=kind, **block)

    def seal(self, minutes=0):
        """A seal coat whose window is 4 to 14 h by the clock of the wall."""
        values = {"coat": 1, "open_h": 4.0, "close_h": 14.0, "done": True}
        step = self.at("seal", 2)
        seal.seal_coat(self.member, step, values, key=key(), moment=moment(minutes))
        return step

    def poured(self, minutes=0):
        """A cup mixed and poured; it leaves the mould after 33 h 56 min."""
        self.weigh_b(self.meet(minutes=minutes), minutes=minutes + 1)
        return self.pour(minutes=minutes + 2)


def codes(objections):
    """The codes of what stands against an act, a clock's by its kind alone."""
    kinds = {f"clock_{timer.pk}": timer.kind for timer in Timer.objects.all()}
    return [kinds.get(each.code, each.code) for each in objections]


def after(minutes):
    return AT + timedelta(minutes=minutes)


# --- strips and coats ---


@pytest.mark.parametrize(("hours", "said"), [(1, ["tack_wet"]), (5, []), (15, ["seal_missed"])])
def test_strips_wait_for_their_seal_coat_and_do_not_outlast_it(hours, said):
    bench = Route()
    bench.seal()
    assert codes(against.of_strips(bench.at("load"), {}, after(hours * H))) == said


def test_a_seal_coat_that_was_answered_is_no_longer_in_the_way():
    bench = Route()
    bench.seal()
    acts.settle(bench.member, Timer.objects.get(), "Dry to handle", key=key(), moment=moment(30))
    assert codes(against.of_strips(bench.at("load"), {}, after(H))) == []


@pytest.mark.parametrize("word", ["done", "skipped"])
def test_a_seal_coat_dries_on_when_nobody_has_more_to_do_at_it(word):
    bench = Route()
    work.tell(bench.member, bench.seal(), word, key=key(), moment=moment(10))
    assert codes(against.of_strips(bench.at("load"), {}, after(H))) == ["tack_wet"]


def test_a_seal_coat_of_the_whole_project_is_in_the_way_of_each_block():
    bench = Route()
    values = {"coat": 1, "open_h": 4.0, "close_h": 14.0, "done": True}
    seal.seal_coat(bench.member, bench.at("seal", 2, of_panel=True), values, key=key(), moment=moment())
    assert codes(against.of_strips(bench.at("load"), {}, after(H))) == ["tack_wet"]


def test_sealant_dries_on_when_its_step_is_called_done():
    bench = ready()
    step = bench.at("mould", 3)
    mould.build_mould(bench.member, step, {"sealed": True, "sealant_h": 12.0}, key=key(), moment=moment())
    work.tell(bench.member, step, "done", key=key(), moment=moment(10))
    assert of_pour(bench) == ["sealant_wet"]


def test_sealant_that_is_dry_asks_no_more_when_its_step_is_done():
    bench = Route()
    step = bench.at("mould", 3)
    mould.build_mould(bench.member, step, {"sealed": True, "sealant_h": 12.0}, key=key(), moment=moment())
    work.tell(bench.member, step, "done", key=key(), moment=moment(12 * H))
    assert not Timer.objects.running().exists()


def test_the_seal_coat_of_another_block_is_not_in_the_way():
    Route().seal()
    assert codes(against.of_strips(Route().at("load"), {}, after(H))) == []


@pytest.mark.parametrize(("hours", "said"), [(1, ["tack_soon"]), (5, []), (15, ["tack_late"])])
def test_a_second_seal_coat_goes_into_the_window_of_the_first(hours, said):
    bench = Route()
    step = bench.seal()
    assert codes(against.of_seal(step, {}, after(hours * H))) == said


def put_coat(bench, minutes=0):
    oil = FinishFactory(shop=bench.shop, recoat_h=6, recoat_close_h=24)
    step = bench.at("coat", of_panel=True)
    coat.put_coat(
        bench.member, step, {"supply": oil, "number": 1, "done": True}, key=key(), moment=moment(minutes)
    )


@pytest.mark.parametrize(("hours", "said"), [(1, ["coat_soon"]), (7, []), (25, ["coat_late"])])
def test_the_next_coat_goes_into_the_window_of_the_last(hours, said):
    bench = Route()
    put_coat(bench)
    assert codes(against.of_coat(bench.at("coat", of_panel=True), {}, after(hours * H))) == said


# --- what has not hardened ---


@pytest.mark.parametrize("kind", ["sand", "coat", "glue_up"])
def test_the_panel_is_not_worked_on_while_a_block_of_it_cures(kind):
    bench = Route()
    bench.poured()
    look = {"sand": against.of_work, "coat": against.of_coat, "glue_up": against.of_glue}[kind]
    step = bench.at(kind, of_panel=True)
    assert codes(look(step, {}, after(20 * H))) == ["demould"]
    assert codes(look(step, {}, after(40 * H))) == []


def glued(bench, part):
    values = {"part": part, "open_min": 40.0, "clamped_h": 12.0, "done": True}
    step = bench.at("glue_up", of_panel=True)
    glue.glue_up(bench.member, step, values, key=key(), moment=moment())


def test_sanding_waits_for_the_clamps():
    bench = Route()
    glued(bench, "part 1")
    step = bench.at("sand", of_panel=True)
    assert codes(against.of_work(step, {}, after(H))) == ["clamped"]
    assert codes(against.of_work(step, {}, after(13 * H))) == []


@pytest.mark.parametrize(
    ("part", "said"), [("part 2", []), ("part 1", ["clamped"]), ("Part 1", ["clamped"]), ("", ["clamped"])]
)
def test_another_part_is_glued_while_one_is_in_its_clamps(part, said):
    bench = Route()
    glued(bench, "part 1")
    assert codes(against.of_glue(bench.at("glue_up", of_panel=True), {"part": part}, after(H))) == said


def test_sanding_waits_for_a_coat_to_dry():
    bench = Route()
    put_coat(bench)
    assert codes(against.of_work(bench.at("sand", of_panel=True), {}, after(H))) == ["coat"]


@pytest.mark.parametrize(
    ("kind", "said"),
    [("flatten", ["demould"]), ("cut", ["demould"]), ("combs", []), ("buy", []), ("other", [])],
)
def test_only_steps_after_the_cure_ask_before_they_begin(kind, said):
    bench = Route()
    bench.poured()
    assert codes(against.of_begin(bench.at(kind), {}, after(20 * H))) == said


def test_the_block_is_not_flattened_while_it_rests():
    bench = Route()
    work.wait(bench.member, bench.at("rest", 7), key=key(), moment=moment(), minutes=24 * H)
    assert codes(against.of_begin(bench.at("flatten", 8), {}, after(H))) == ["wait"]
    assert codes(against.of_begin(bench.at("flatten", 6), {}, after(H))) == []


# --- a cup and a pour ---


@pytest.fixture
def nothing_stops(monkeypatch):
    """What stops a cup that nobody checked has tests of its own: check/test_unkept.py."""
    monkeypatch.setattr("projects.check.unkept.stops", lambda *rest, **warmth: [])


@pytest.mark.usefixtures("nothing_stops")
@pytest.mark.parametrize(("room_c", "said"), [(12.0, ["warmth_shop"]), (20.0, []), (30.0, ["warmth_shop"])])
def test_a_cup_is_mixed_in_the_warmth_of_its_sheet(room_c, said):
    bench = Route(min_c=15, max_c=28)
    assert codes(against.of_cup(bench.step, {"room_c": room_c}, AT)) == said


def checked(bench, **answers):
    """A check that was kept ten minutes before the morning."""
    answers = {**asked.first_answers(bench.step, at=AT), "shop_c": 20.0, **answers}
    found = facts.check(bench.step, answers, AT)
    check.keep_check(bench.member, bench.step, answers, found, key=key(), moment=moment(-10))
    return found


def test_a_cup_is_not_mixed_against_a_stop_of_the_check():
    bench = Route()
    stops = {finding.code for finding in checked(bench).findings if finding.level == "stop"}
    found = against.of_cup(bench.step, {"room_c": 20.0}, AT)
    assert {each.of_check for each in found} == stops != set()


def of_pour(bench, minutes=5, depth_mm=13.0):
    cups = list(acts.open_cups(bench.step).select_related("resin").order_by("cup"))
    return codes(against.of_pour(bench.step, {"depth_mm": depth_mm}, after(minutes), cups))


def ready(**resin):
    """A cup that can be poured."""
    bench = Route(**resin)
    bench.weigh_b(bench.meet())
    return bench


def test_nothing_stands_against_a_pour_as_it_is_planned():
    assert of_pour(ready()) == []


# the stack is half resin: 25 mm of neat resin are 50 mm; 13 mm are planned
@pytest.mark.parametrize(
    ("depth_mm", "said"), [(19.5, []), (20.0, ["slip"]), (50.0, ["slip"]), (130.0, ["slip", "deep"])]
)
def test_a_pour_far_deeper_than_planned_or_allowed_is_asked_about(depth_mm, said):
    bench = ready()
    bench.weigh_b(bench.meet(), minutes=3)  # a second cup, so that the depth alone is in question
    assert of_pour(bench, depth_mm=depth_mm) == said


def test_what_is_poured_already_makes_the_plan_of_the_next_pour():
    bench = Route()
    bench.weigh_b(bench.meet())
    bench.pour(minutes=2, depth_mm=9.0)
    bench.weigh_b(bench.meet(minutes=6 * H), minutes=6 * H)
    assert of_pour(bench, minutes=6 * H, depth_mm=6.0) == []  # of 4 mm that are left
    assert of_pour(bench, minutes=6 * H, depth_mm=6.1) == ["slip"]


def test_a_full_mould_takes_a_top_up_without_a_word():
    bench = Route()
    bench.poured()
    bench.weigh_b(bench.meet(minutes=6 * H), minutes=6 * H)
    assert of_pour(bench, minutes=6 * H, depth_mm=2.0) == []
    assert of_pour(bench, minutes=6 * H, depth_mm=13.0) == ["full"]


def test_a_check_that_divides_the_depth_makes_the_plan_of_each_pour():
    bench = ready()
    checked(bench, depth_mm=13.0, lifts=2)
    assert of_pour(bench, depth_mm=9.0) == []
    assert of_pour(bench, depth_mm=13.0) == ["slip"]


def test_a_pour_waits_for_the_shop_to_be_warm():
    bench = ready(min_c=15, max_c=28)
    assert of_pour(bench) == []
    cold = {"kind": "temperature", "value": 11.0, "text": ""}
    readings.take_reading(bench.member, cold, key=key(), moment=moment(4), project=bench.project)
    assert of_pour(bench) == ["warmth_shop"]


@pytest.mark.parametrize(("surface_c", "said"), [(11.0, ["warmth_mould"]), (18.0, []), (None, [])])
def test_a_pour_waits_for_the_mould_to_be_warm(surface_c, said):
    bench = ready(min_c=15, max_c=28)
    checked(bench, surface_c=surface_c, shop_c=20.0, depth_mm=13.0)
    assert of_pour(bench) == said


def test_a_mould_that_was_read_long_ago_says_nothing():
    bench = ready(min_c=15)
    checked(bench, surface_c=11.0, shop_c=20.0, depth_mm=13.0)
    assert of_pour(bench, minutes=3 * H) == []


@pytest.mark.parametrize(("hours", "said"), [(1, ["tack_wet"]), (5, []), (15, ["seal_missed"])])
def test_a_pour_waits_for_the_seal_coat_and_does_not_outlast_it(hours, said):
    bench = ready()
    bench.seal()
    assert of_pour(bench, minutes=hours * H) == said


def test_a_pour_waits_for_the_sealant():
    bench = ready()
    values = {"sealed": True, "sealant_h": 12.0}
    mould.build_mould(bench.member, bench.at("mould", 3), values, key=key(), moment=moment())
    assert of_pour(bench) == ["sealant_wet"]
    assert of_pour(bench, minutes=12 * H) == []


def test_a_wrong_cup_is_asked_about():
    bench = Route()
    bench.weigh_b(bench.meet(), grams=160.0)
    assert of_pour(bench) == ["ratio_1"]


def test_a_second_pour_waits_for_the_first():
    bench = Route()
    bench.weigh_b(bench.meet())
    bench.pour(minutes=2, depth_mm=6.0)
    bench.weigh_b(bench.meet(minutes=10), minutes=11)
    assert of_pour(bench, minutes=15, depth_mm=7.0) == ["recoat_soon"]
    assert of_pour(bench, minutes=6 * H, depth_mm=7.0) == []


# --- out of the mould, and the plan ---


def test_a_block_leaves_its_mould_when_its_clock_is_due():
    bench = Route()
    bench.poured()
    step = bench.at("demould")
    assert codes(against.of_demould(step, {}, after(20 * H))) == ["early"]
    assert codes(against.of_demould(step, {}, after(40 * H))) == []


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"length_mm": 600.0, "width_mm": 198.0, "depth_mm": 13.0}, []),
        ({"length_mm": 198.0, "width_mm": 600.0, "depth_mm": 13.0}, ["swapped"]),
        ({"length_mm": 60.0, "width_mm": 198.0}, ["off_length_mm"]),
        ({"depth_mm": 26.0}, ["off_depth_mm"]),
        ({"length_mm": 198.0, "width_mm": 600.0, "depth_mm": 26.0}, ["swapped", "off_depth_mm"]),
    ],
)
def test_measures_that_can_not_be_are_asked_about(typed, said):
    bench = Route()
    bench.poured()
    assert codes(against.of_demould(bench.at("demould"), typed, after(40 * H))) == said


def of_block(block, at, **typed):
    """What stands against a block's figures but for what is typed otherwise."""
    names = {
        name: BlockForm(shop=block.shop).fields[name].prepare_value(getattr(block, name))
        for name in (*BlockForm.FIRST, *BlockForm.MORE)
        if name not in {"species", "resin"}
    }
    form = BlockForm({**names, "resin": block.resin.pk, **typed}, shop=block.shop)
    assert form.is_valid(), form.errors
    return against.of_blocks(form, [(block, form.figures())], at)


@pytest.mark.parametrize(
    ("typed", "said"), [({}, []), ({"strips": "52"}, ["changed"]), ({"film_percent": "5"}, [])]
)
def test_measures_of_a_block_are_settled_once_it_is_poured(typed, said):
    bench = Route()
    block = Block.objects.get(pk=bench.block.pk)
    assert codes(of_block(block, AT, **typed)) == []
    bench.poured()
    assert codes(of_block(block, after(H), **typed)) == said


def test_what_changes_after_the_pour_is_told_with_both_figures():
    bench = Route()
    bench.poured()
    block = Block.objects.get(pk=bench.block.pk)
    found = of_block(block, after(H), strips="52", gap_mm="3 mm")[0]
    assert found.sentence.replace("\u00a0", " ").endswith("with gap 2 mm, now 3 mm; strips 50, now 52.")


# --- what is easily missed ---


def test_a_block_that_was_never_poured_is_asked_about_as_it_leaves_its_mould():
    bench = Route()
    step = bench.at("demould")
    assert "empty" in codes(against.of_demould(step, {}, after(40 * H)))
    bench.poured()
    assert "empty" not in codes(against.of_demould(step, {}, after(40 * H)))


@pytest.mark.parametrize(("depth_mm", "said"), [(3.0, []), (13.0, ["little"])])
def test_a_pour_is_held_against_what_its_cups_make(depth_mm, said):
    bench = Route()
    bench.weigh_b(bench.meet(a_g=60.0), grams=27.0)
    cups = list(acts.open_cups(bench.step))
    assert codes(against.of_pour(bench.step, {"depth_mm": depth_mm}, after(5), cups)) == said


def test_a_pour_begins_as_deep_as_its_cups_make_it():
    bench = Route()
    bench.weigh_b(bench.meet(a_g=60.0), grams=27.0)
    cups = list(acts.open_cups(bench.step))
    share = 87.0 / mixing.needed(bench.block).total_g
    assert against.depth_to_begin_with(bench.step, cups) == round(share * bench.block.fill_mm, 1)


def test_a_pour_of_all_that_is_wanted_begins_as_deep_as_planned():
    bench = Route()
    bench.weigh_b(bench.meet(a_g=2000.0), grams=900.0)
    assert against.depth_to_begin_with(bench.step, list(acts.open_cups(bench.step))) == bench.block.fill_mm


# --- readings ---


def of_thickness(bench, *measured, step=None, project=None, lot=None):
    """What stands against strips measured at a step, in a project or of a lot."""
    values = {"kind": "thickness", "value": list(measured), "lot": lot}
    return codes(against.of_reading(bench.shop, step, project, values, AT))


@pytest.mark.parametrize(
    ("measured", "said"), [(2.05, []), (4.0, []), (1.0, []), (4.1, ["strip"]), (0.9, ["strip"])]
)
def test_a_strip_is_at_most_twice_and_at_least_half_of_the_plan(measured, said):
    route = Route()
    assert of_thickness(route, measured, step=route.step) == said
    assert of_thickness(route, measured, project=route.project) == said


@pytest.mark.parametrize(
    ("measured", "side"),
    [
        ([20.5], "is more than the double"),
        ([0.2, 0.3], "are less than half"),
        ([0.2, 20.5], "are more than the double or less than half"),
    ],
)
def test_it_is_said_on_which_side_of_a_strip_a_figure_lies(measured, side):
    found = second_look.not_a_strip(measured, [2.0], "metric")
    assert f"{side} of a strip as planned: 2\u00a0mm." in found.sentence


def test_a_strip_of_a_bundle_is_held_against_the_bundle():
    route = Route()
    thick = BundleFactory(shop=route.shop, thickness_mm=6.0)
    assert of_thickness(route, 5.8, lot=thick) == []
    assert of_thickness(route, 2.05, lot=thick) == ["strip"]
    assert of_thickness(route, 2.05, lot=thick, step=route.step) == []


def test_a_block_that_is_poured_is_measured_as_a_block():
    route = Route()
    route.poured()
    assert of_thickness(route, 13.0, step=route.step) == []


def test_thickness_of_nothing_in_particular_stands_as_it_is():
    assert of_thickness(Route(), 20.5) == []
