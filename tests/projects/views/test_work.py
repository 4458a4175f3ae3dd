import pytest

from projects.actions import bench as acts
from projects.actions import coat, plan, route, work
from projects.cautions import CARES, DUST, RAGS, RESIN, SAW
from projects.models import Lesson, LogEntry, Step, Timer
from tests.factories import (
    AT,
    Bench,
    CheckItemFactory,
    FinishFactory,
    MemberFactory,
    StepFactory,
    key,
)
from tests.projects.pages import FRAGMENT, act, ago, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db


class Work(Bench):
    """A bench with a step that is begun and done as a whole, and the pages of it."""

    def __init__(self, kind="cut", **values):
        super().__init__()
        values = {"title": "Cut the pieces", "position": 1, **values}
        self.whole = StepFactory(shop=self.shop, block=self.block, kind=kind, **values)

    def page(self, name="bench-step", step=None):
        return at(name, self.shop, (step or self.whole).key)

    def row(self):
        return Step.objects.get(pk=self.whole.pk)

    def tell(self, word, minutes=30):
        work.tell(self.member, self.whole, word, key=key(), moment=ago(minutes))


@pytest.fixture
def bench():
    return Work()


@pytest.fixture
def maker(signed_in, bench):
    return signed_in(bench.member)


def mains(response):
    """The words on the main buttons of a page."""
    content = response.content.decode()
    return [part.split(">")[1].split("<")[0] for part in content.split('class="btn main full"')[1:]]


# --- the page ---


def test_the_page_has_checklist_state_and_the_one_act(maker, bench):
    CheckItemFactory(step=bench.whole, text="Blade sharp")
    response = maker.get(bench.page())
    assert "Cut the pieces" in words_of(response)
    assert "to do hands on 60 min" in words_of(response)
    assert "Blade sharp" in words_of(response)
    assert mains(response) == ["Begin"]


@pytest.mark.parametrize(
    ("words", "main"),
    [
        ((), "Begin"),
        (("began",), "Done"),
        (("done",), "On to: Pour Block A"),
        (("skipped",), "On to: Pour Block A"),
    ],
)
def test_the_main_act_is_the_next_one(maker, bench, words, main):
    for word in words:
        bench.tell(word)
    assert mains(maker.get(bench.page())) == [main]


def test_when_nothing_is_left_the_main_act_leads_to_the_route(maker, bench):
    bench.tell("done")
    Step.objects.filter(pk=bench.step.pk).update(state="done")
    assert mains(maker.get(bench.page())) == ["See the route"]


@pytest.mark.parametrize(("words", "main"), [((), "It starts now"), (("waits",), "It is over")])
def test_what_goes_by_itself_starts_and_is_over(signed_in, words, main):
    bench = Work("rest", mode="passive")
    for word in words:
        bench.tell(word)
    assert mains(signed_in(bench.member).get(bench.page())) == [main]


@pytest.mark.parametrize("kind", sorted(set(CARES) - {"pour"}))
def test_what_can_hurt_stands_beside_the_step(signed_in, kind):
    bench = Work(kind)
    words = words_of(signed_in(bench.member).get(bench.page()))
    for sentence in CARES[kind]:
        assert sentence in words
    assert "The maker’s data sheet and local rules come first." in words


def test_saw_dust_resin_and_rags_have_their_cautions():
    assert all(SAW in CARES[kind] for kind in ("cut", "test_cut"))
    assert all(DUST in CARES[kind] for kind in ("flatten", "level", "sand", "cut"))
    assert all(RESIN in CARES[kind] for kind in ("seal", "pour", "glue_up", "demould"))
    assert RAGS in CARES["coat"]


@pytest.mark.parametrize("kind", sorted(set(Step.Kind.values) - {"pour"}))
def test_every_kind_of_step_has_a_page_with_or_without_a_block(signed_in, kind):
    bench = Work(kind)
    client = signed_in(bench.member)
    assert client.get(bench.page()).status_code == 200
    Step.objects.filter(pk=bench.whole.pk).update(block=None)
    for name in ("bench-step", "step-skip", "bench-photo"):
        assert client.get(bench.page(name)).status_code == 200


def test_without_a_block_nothing_is_mixed_or_poured(signed_in):
    bench = Work("other")
    Step.objects.filter(pk=bench.whole.pk).update(block=None)
    client = signed_in(bench.member)
    assert client.get(bench.page("mix")).status_code == 404
    assert client.get(bench.page("pour")).status_code == 404


def test_what_was_written_down_of_the_step_stands_below(maker, bench):
    bench.tell("began")
    assert "Cut the pieces: begun" in words_of(maker.get(bench.page()))


def test_a_line_from_a_lesson_says_so(signed_in):
    bench = Work()
    Lesson.objects.create(shop=bench.shop, created_at=AT, sentence="Runners on", step_kind="cut")
    step = route.add_step(bench.member, bench.project, {"kind": "cut", "title": "Cut again"}, at=AT)
    words = words_of(signed_in(bench.member).get(bench.page(step=step)))
    assert "Runners on from a lesson" in words


# --- what is said of it ---


def test_a_step_is_begun_and_done(maker, bench):
    assert maker.post(bench.page("step-begin"), act(text=""))["Location"] == bench.page()
    assert bench.row().state == "under_way"
    maker.post(bench.page("step-done"), act(text="went well"))
    assert bench.row().state == "done"
    assert LogEntry.objects.order_by("pk").last().text == "Cut the pieces: done. went well"


def test_a_script_is_led_back_to_the_step(maker, bench):
    response = maker.post(bench.page("step-begin"), act(text=""), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, bench.page())


def test_a_wait_of_hours_and_minutes_begins_as_the_page_says_it(signed_in):
    bench = Work("rest", mode="passive", minutes=150)
    client = signed_in(bench.member)
    shown = typed_in(client.get(bench.page()))["minutes"]
    assert shown == "2:30 h"
    assert client.post(bench.page("step-wait"), act(minutes=shown)).status_code == 302
    timer = Timer.objects.get()
    assert (timer.due_at - timer.started_at).total_seconds() == 150 * 60


def test_a_wait_begins_with_the_time_that_was_typed(signed_in):
    bench = Work("rest", mode="passive", minutes=24 * 60)
    client = signed_in(bench.member)
    assert typed_in(client.get(bench.page()))["minutes"] == "24 h"
    client.post(bench.page("step-wait"), act(minutes="90 min"))
    timer = Timer.objects.get()
    assert (timer.due_at - timer.started_at).total_seconds() == 90 * 60
    words = words_of(client.get(bench.page()))
    assert "began" in words
    assert "waits by itself 24 h" in words


def test_a_wait_that_is_over_is_done_and_its_clock_silent(signed_in):
    bench = Work("rest", mode="passive")
    client = signed_in(bench.member)
    client.post(bench.page("step-wait"), act(minutes="90 min"))
    client.post(bench.page("step-done"), act(text=""))
    assert bench.row().state == "done"
    assert not Timer.objects.running().exists()


@pytest.mark.parametrize("said", ["", "0", "a while", "91 d"])
def test_a_wait_of_no_length_is_not_begun(signed_in, said):
    bench = Work("rest", mode="passive")
    response = signed_in(bench.member).post(bench.page("step-wait"), act(minutes=said))
    assert response.status_code == 422
    assert said_at(response, "minutes")
    assert typed_in(response)["minutes"] == said
    assert bench.row().state == "to_do"


def test_a_step_is_skipped_with_its_reason(maker, bench):
    assert "Why is it skipped?" in words_of(maker.get(bench.page("step-skip")))
    assert maker.post(bench.page("step-skip"), act(why="no time"))["Location"] == bench.page()
    assert (bench.row().state, bench.row().skip_why) == ("skipped", "no time")
    assert "no time" in words_of(maker.get(bench.page()))


def test_a_step_is_not_skipped_without_a_reason(maker, bench):
    response = maker.post(bench.page("step-skip"), act(why=" "))
    assert response.status_code == 422
    assert said_at(response, "why") == "This field is required."


def test_a_step_that_is_over_can_be_taken_up_again(maker, bench):
    bench.tell("done")
    assert "Take it up again" in words_of(maker.get(bench.page()))
    maker.post(bench.page("step-reopen"), act(text=""))
    assert bench.row().state == "to_do"


@pytest.mark.parametrize("name", ["step-begin", "step-done", "step-skip"])
def test_what_is_said_twice_by_one_press_is_said_once(maker, bench, name):
    sent = act(text="", why="no time")
    answers = [maker.post(bench.page(name), sent)["Location"] for _ in range(2)]
    assert answers == [bench.page()] * 2
    assert LogEntry.objects.count() == 1


@pytest.mark.parametrize("name", ["step-begin", "step-done", "step-reopen"])
def test_what_somebody_said_meanwhile_is_not_said_again(maker, bench, name):
    bench.tell("began" if name == "step-reopen" else "done")
    response = maker.post(bench.page(name), act(text="mine"))
    assert response.status_code == 422
    assert "by now. Load the page again to see it." in words_of(response)


# --- cures that were started elsewhere ---


def test_a_cure_shows_the_clock_of_its_pour_and_asks_for_its_answer(signed_in):
    bench = Bench()
    project = plan.begin_project(bench.member, title="Fanlight", due_on=None, resin=bench.resin, at=AT)
    bench.step, bench.block = project.steps.get(kind="pour"), project.blocks.get()
    acts.parts_meet(bench.member, bench.step, key=key(), moment=ago(60), resin=bench.resin, cup=bench.cup())
    acts.pour(bench.member, bench.step, key=key(), moment=ago(50), depth_mm=13.0, text="")
    response = signed_in(bench.member).get(at("bench-step", bench.shop, project.steps.get(kind="cure").key))
    assert "Block A cures" in words_of(response)
    assert mains(response) == ["Answer its clock"]


def test_a_pour_can_be_skipped_and_taken_up_again(maker, bench):
    assert (
        at("step-skip", bench.shop, bench.step.key) in maker.get(bench.page(step=bench.step)).content.decode()
    )
    maker.post(bench.page("step-skip", bench.step), act(why="cast elsewhere"))
    assert "Take it up again" in words_of(maker.get(bench.page(step=bench.step)))


def test_a_viewer_reads_the_step(signed_in, bench):
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    assert signed_in(viewer).get(bench.page()).status_code == 200
    assert signed_in(viewer).post(bench.page("step-begin"), act(text="")).status_code == 403


# --- what to go on to ---


def test_after_a_step_the_page_goes_on_along_the_route(maker, bench):
    """What was left behind, buying say, does not come up again after each step."""
    StepFactory(shop=bench.shop, project=bench.project, block=None, kind="buy", title="Buy", position=0)
    StepFactory(shop=bench.shop, block=bench.block, kind="dry_fit", title="Dry fit", position=2)
    bench.tell("done")
    assert mains(maker.get(bench.page())) == ["On to: Dry fit"]


def test_at_the_end_of_the_route_what_was_left_behind_comes_up(maker, bench):
    StepFactory(shop=bench.shop, project=bench.project, block=None, kind="buy", title="Buy", position=0)
    Step.objects.filter(pk=bench.step.pk).update(state="done")
    bench.tell("done")
    assert mains(maker.get(bench.page())) == ["On to: Buy"]


def test_a_pour_that_is_over_leads_on_too(maker, bench):
    StepFactory(shop=bench.shop, project=bench.project, block=None, kind="buy", title="Buy", position=0)
    Step.objects.filter(pk=bench.step.pk).update(state="done", position=1)
    Step.objects.filter(pk=bench.whole.pk).update(position=2)
    assert mains(maker.get(bench.page(step=bench.step))) == ["On to: Cut the pieces"]


# --- a coat that dries ---


def test_a_drying_coat_shows_its_clock_at_the_step_that_waits_for_it(maker, bench):
    Step.objects.filter(pk=bench.whole.pk).update(kind="coat", title="Coat 1", position=1)
    dries = StepFactory(
        shop=bench.shop, block=bench.block, kind="dry", title="Coat 1 dries", mode="passive", position=2
    )
    oil = FinishFactory(shop=bench.shop, recoat_h=8)
    values = {"supply": oil, "lot": None, "number": 1, "temp_c": 20.0, "text": "", "done": True}
    coat.put_coat(bench.member, bench.whole, values, key=key(), moment=ago(30))
    page = maker.get(bench.page(step=dries))
    assert mains(page) == ["Answer its clock"]
    assert "Next coat of finish" in words_of(page)


def test_the_step_that_makes_combs_leads_to_the_comb_of_its_block(signed_in):
    bench = Work(kind="combs")
    page = signed_in(bench.member).get(bench.page()).content.decode()
    assert f'href="{at("combs-of", bench.shop, bench.project.key, "A")}">Open its comb</a>' in page


def test_a_step_done_as_a_whole_leads_to_the_flaws_of_its_block(signed_in):
    bench = Work(kind="flatten")
    page = signed_in(bench.member).get(bench.page()).content.decode()
    flaws = at("flaws", bench.shop, bench.project.key, bench.block.key)
    assert f'href="{flaws}">Mark a flaw</a>' in page
