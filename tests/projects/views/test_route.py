from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from projects.actions import dates, route, work
from projects.models import CheckItem, Project, Step
from tests.factories import AT, Bench, MachineFactory, MemberFactory, StepFactory, key
from tests.projects.pages import FRAGMENT, act, ago, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db
STEP = {"title": "Rip", "kind": "cut", "mode": "hands_on", "minutes": "1.5 h", "people": "2"}


class Way(Bench):
    """A bench whose route has a pour, a rest and a cut, and the pages of it."""

    def __init__(self):
        super().__init__()
        self.rest = self.more("Let it rest", 1, kind="rest", mode="passive", minutes=2 * 24 * 60)
        self.cut = self.more("Cut the pieces", 2, kind="cut", minutes=90)

    def more(self, title, position, **values):
        return StepFactory(shop=self.shop, block=self.block, title=title, position=position, **values)

    def page(self, name="steps", *rows):
        return at(name, self.shop, self.project.key, *(row.key for row in rows))

    def titles(self):
        return [step.title for step in route.in_place(self.project)]


@pytest.fixture
def way():
    return Way()


@pytest.fixture
def maker(signed_in, way):
    return signed_in(way.member)


def done(way, step, minutes=30):
    work.tell(way.member, step, "done", key=key(), moment=ago(minutes))


# --- the route to read ---


def test_the_route_says_what_is_done_by_hand_and_what_by_itself(maker, way):
    words = words_of(maker.get(way.page()))
    assert "Let it rest to do · by itself 2 days" in words
    assert "Cut the pieces to do · hands on 90 min" in words


def test_whose_work_it_is_and_with_what_stands_beside_it(maker, way):
    saw = MachineFactory(shop=way.shop, name="the table saw")
    route.change_step(way.member, way.cut, {"people": 2, "machine": saw, "assignee": way.member}, at=AT)
    assert "hands on 90 min · 2 people · Ines · the table saw" in words_of(maker.get(way.page()))


def test_what_is_next_has_the_one_main_button(maker, way):
    response = maker.get(way.page())
    assert [line.is_next for line in response.context["ahead"]] == [True, False, False]
    assert response.content.decode().count('class="btn main"') == 1
    assert at("bench-step", way.shop, way.step.key) in response.content.decode()


def test_what_is_over_is_folded_away(maker, way):
    done(way, way.step)
    response = maker.get(way.page())
    assert [line.step for line in response.context["over"]] == [way.step]
    assert "1 step is over" in words_of(response)
    assert [line.is_next for line in response.context["ahead"]] == [True, False]


def test_a_skipped_step_says_why(maker, way):
    work.skip(way.member, way.step, "poured already", key=key(), moment=ago(5))
    assert "skipped · hands on 60 min" in words_of(maker.get(way.page()))
    assert "poured already" in words_of(maker.get(way.page()))


def test_when_all_is_over_the_page_says_so(maker, way):
    for step in (way.step, way.rest, way.cut):
        done(way, step)
    assert "Nothing is left to do." in words_of(maker.get(way.page()))


def test_a_route_without_steps_offers_one(maker, way):
    Step.objects.update(removed_at=AT)
    assert "No steps" in words_of(maker.get(way.page()))


def test_a_viewer_reads_the_route_without_buttons_that_change_it(signed_in, way):
    viewer = MemberFactory(shop=way.shop, role="viewer")
    content = signed_in(viewer).get(way.page()).content.decode()
    assert "Change" not in content
    assert "Lay out from now" not in content


# --- planned and real ---


def test_a_step_says_when_it_is_planned_for(maker, way):
    start = timezone.now() + timedelta(days=3)
    Step.objects.filter(pk=way.cut.pk).update(planned_start=start, planned_end=start + timedelta(hours=1))
    local = start.astimezone(way.shop.tz)
    assert f"planned for {local:%a %H:%M} Cut the pieces to do" in words_of(maker.get(way.page()))


def test_a_step_that_should_have_begun_is_later_than_planned(maker, way):
    Step.objects.filter(pk=way.cut.pk).update(planned_start=timezone.now() - timedelta(days=1))
    assert "to do later than planned · hands on" in words_of(maker.get(way.page()))


def test_what_a_step_really_took_stands_beside_what_was_planned(maker, way):
    planned = datetime(2026, 3, 3, 8, tzinfo=UTC)
    Step.objects.filter(pk=way.step.pk).update(
        state="done", started_at=AT, ended_at=AT + timedelta(hours=1),
        planned_start=planned, planned_end=planned + timedelta(minutes=90),
    )  # fmt: skip
    words = words_of(maker.get(way.page()))
    assert "Tue 10 Mar 10:00–11:00, planned Tue 3 Mar 09:00–10:30" in words


@pytest.mark.parametrize(
    ("due_on", "said"),
    [
        (date(2031, 3, 14), "in time As planned it is done 12 Mar , wanted by 14 Mar."),
        (date(2031, 3, 12), "in time As planned it is done 12 Mar , wanted by 12 Mar."),
        (date(2031, 3, 10), "too late As planned it is done 12 Mar , wanted by 10 Mar."),
        (None, "As planned it is done 12 Mar ."),
    ],
)
def test_the_route_says_whether_the_day_is_met(maker, way, due_on, said):
    Project.objects.update(due_on=due_on)
    Step.objects.update(planned_end=datetime(2031, 3, 12, 12, tzinfo=UTC))
    assert said in words_of(maker.get(way.page()))


def test_what_has_no_date_yet_is_counted(maker, way):
    Step.objects.filter(pk=way.cut.pk).update(planned_end=timezone.now())
    assert "2 steps have no date yet" in words_of(maker.get(way.page()))


# --- dates ---


def test_dates_are_laid_out_and_put_back(maker, way):
    assert maker.post(way.page("dates-lay-out"), act())["Location"] == way.page()
    assert Step.objects.filter(planned_start=None).count() == 0
    words = words_of(maker.get(way.page()))
    assert "Ines laid out all dates" in words
    maker.post(way.page("dates-back", dates.last_dates(way.shop)), act())
    assert Step.objects.filter(planned_start=None).count() == 3
    assert "laid out all dates" not in words_of(maker.get(way.page()))


def test_dates_laid_out_twice_by_one_press_are_laid_out_once(maker, way):
    sent = act()
    maker.post(way.page("dates-lay-out"), sent)
    first = dates.last_dates(way.shop)
    maker.post(way.page("dates-lay-out"), sent)
    assert dates.last_dates(way.shop) == first


def test_dates_that_changed_since_are_not_put_back(maker, way):
    maker.post(way.page("dates-lay-out"), act())
    older = dates.last_dates(way.shop)
    way.more("Sand", 3, kind="sand")
    maker.post(way.page("dates-lay-out"), act())
    response = maker.post(way.page("dates-back", older), act())
    assert response.status_code == 422
    assert "The dates have been changed again since." in words_of(response)


# --- a step more ---


def test_a_step_is_added_at_the_end_or_behind_another(maker, way):
    assert maker.post(way.page("step-new"), act(**STEP))["Location"] == way.page()
    maker.post(way.page("step-new"), act(**{**STEP, "title": "Oil"}, after=str(way.step.key)))
    assert way.titles() == ["Pour Block A", "Oil", "Let it rest", "Cut the pieces", "Rip"]
    assert Step.objects.get(title="Rip").minutes == 90


def test_the_page_of_a_new_step_says_where_it_goes(maker, way):
    assert "A step more, at the end" in words_of(maker.get(way.page("step-new")))
    response = maker.get(way.page("step-new"), {"after": str(way.rest.key)})
    assert "A step more, after “Let it rest”" in words_of(response)


@pytest.mark.parametrize("after", ["nonsense", "00000000-0000-4000-8000-000000000000"])
def test_behind_a_step_that_is_not_there_is_at_the_end(maker, way, after):
    maker.post(way.page("step-new"), act(**STEP, after=after))
    assert way.titles()[-1] == "Rip"


@pytest.mark.parametrize(
    ("field", "said", "sentence"),
    [
        ("title", "", "This field is required."),
        ("kind", "magic", "Select a valid choice."),
        ("minutes", "0", "More than 0"),
        ("minutes", "a while", "40 min or 6 h"),
        ("minutes", "91 d", "is too much"),
        ("people", "0", "is too little"),
        ("people", "1.5", "A whole number is needed."),
    ],
)
@pytest.mark.parametrize("page", ["step-new", "step-change"])
def test_what_is_wrong_with_a_step_is_said_at_its_field(maker, way, page, field, said, sentence):
    rows = [way.cut] if page == "step-change" else []
    response = maker.post(way.page(page, *rows), act(**{**STEP, field: said}))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert field == "kind" or typed_in(response)[field] == said
    assert way.titles() == ["Pour Block A", "Let it rest", "Cut the pieces"]


def test_a_step_sent_twice_is_added_once(maker, way):
    sent = act(**STEP)
    for _ in range(2):
        maker.post(way.page("step-new"), sent)
    assert way.titles().count("Rip") == 1


def test_a_maker_or_machine_of_another_shop_can_not_be_chosen(maker, way):
    other = {"assignee": MemberFactory().pk, "machine": MachineFactory().pk}
    response = maker.post(way.page("step-new"), act(**STEP, **other))
    assert response.status_code == 422
    assert all("Select a valid choice." in said_at(response, field) for field in other)


# --- a step changed, moved, removed, taken back ---


def test_a_step_of_hours_and_minutes_is_kept_as_its_page_says_it(maker, way):
    Step.objects.filter(pk=way.cut.pk).update(minutes=150)
    found = typed_in(maker.get(way.page("step-change", way.cut)))
    assert found["minutes"] == "2:30 h"
    response = maker.post(way.page("step-change", way.cut), act(**{**STEP, "minutes": found["minutes"]}))
    assert response.status_code == 302
    assert Step.objects.get(pk=way.cut.pk).minutes == 150


def test_a_step_is_shown_as_it_is_and_changed(maker, way):
    found = typed_in(maker.get(way.page("step-change", way.rest)))
    assert (found["title"], found["minutes"], found["mode"], found["kind"]) == (
        "Let it rest", "48 h", "passive", "rest",
    )  # fmt: skip
    assert maker.post(way.page("step-change", way.rest), act(**STEP))["Location"] == way.page()
    assert Step.objects.get(pk=way.rest.pk).title == "Rip"


def test_a_step_that_was_begun_is_not_asked_for_its_kind(maker, way):
    work.tell(way.member, way.cut, "began", key=key(), moment=ago(5))
    assert "kind" not in typed_in(maker.get(way.page("step-change", way.cut)))
    maker.post(way.page("step-change", way.cut), act(**{**STEP, "kind": "sand"}))
    step = Step.objects.get(pk=way.cut.pk)
    assert (step.title, step.kind) == ("Rip", "cut")


@pytest.mark.parametrize(
    ("to", "titles"),
    [
        ("earlier", ["Let it rest", "Pour Block A", "Cut the pieces"]),
        ("later", ["Pour Block A", "Cut the pieces", "Let it rest"]),
    ],
)
def test_a_step_is_moved_by_one_place(maker, way, to, titles):
    response = maker.post(way.page("step-move", way.rest), act(to=to))
    assert response["Location"] == way.page("step-change", way.rest)
    assert way.titles() == titles


def test_a_removed_step_is_offered_back(maker, way):
    maker.post(way.page("step-remove", way.rest), act())
    assert way.titles() == ["Pour Block A", "Cut the pieces"]
    assert "Ines removed “Let it rest”" in words_of(maker.get(way.page()))
    maker.post(way.page("step-undo"), act())
    assert way.titles() == ["Pour Block A", "Let it rest", "Cut the pieces"]


def test_a_step_that_was_begun_is_not_removed_and_the_page_says_why(maker, way):
    done(way, way.rest)
    response = maker.post(way.page("step-remove", way.rest), act())
    assert response.status_code == 422
    assert "“Let it rest” is done. What has happened stays: skip it instead." in words_of(response)


def test_where_nothing_was_changed_nothing_is_taken_back(maker, way):
    response = maker.post(way.page("step-undo"), act())
    assert response.status_code == 422
    assert "There is no change of this route to take back." in words_of(response)


def test_a_change_sent_twice_is_taken_back_once(maker, way):
    for _ in range(2):
        route.move_step(way.member, way.rest, 1, at=AT)
        route.move_step(way.member, Step.objects.get(pk=way.rest.pk), -1, at=AT)
    sent = act()
    for _ in range(2):
        maker.post(way.page("step-undo"), sent, **FRAGMENT)
    assert way.project.route_changes.exclude(undone_at=None).count() == 1


def test_a_removed_step_is_no_page_any_more(maker, way):
    route.remove_step(way.member, way.rest, at=AT)
    for name in ("step-change", "step-move", "step-remove", "line-add"):
        assert maker.post(way.page(name, way.rest), act()).status_code == 404
    assert maker.get(at("bench-step", way.shop, way.rest.key)).status_code == 404


def test_a_step_of_another_project_is_no_page_of_this_one(maker, way):
    other = StepFactory(shop=way.shop)
    assert maker.get(way.page("step-change", other)).status_code == 404


# --- its checklist ---


def test_a_line_is_added_to_the_checklist(maker, way):
    response = maker.post(way.page("line-add", way.cut), act(**{"line-text": "Blade sharp"}))
    assert response["Location"] == way.page("step-change", way.cut)
    assert "Blade sharp Take off" in words_of(maker.get(way.page("step-change", way.cut)))


def test_an_empty_line_is_not_added(maker, way):
    response = maker.post(way.page("line-add", way.cut), act(**{"line-text": " "}))
    assert response.status_code == 422
    assert said_at(response, "line-text") == "This field is required."


def test_a_line_taken_off_twice_by_one_press_is_taken_off_once(maker, way):
    item = route.add_check(way.member, way.cut, "Blade sharp", at=AT)
    sent = act()
    answers = [maker.post(way.page("line-remove", way.cut, item), sent)["Location"] for _ in range(2)]
    assert answers == [way.page("step-change", way.cut)] * 2
    assert not CheckItem.objects.exists()


def test_a_line_that_is_gone_is_no_page(maker, way):
    item = route.add_check(way.member, way.cut, "Blade sharp", at=AT)
    route.remove_check(way.member, item, at=AT)
    assert maker.post(way.page("line-remove", way.cut, item), act()).status_code == 404
