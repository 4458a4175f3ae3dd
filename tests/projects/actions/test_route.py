import pytest

from projects.actions import plan, route, work
from projects.checklists import checks_of
from projects.models import CheckItem, Lesson, RouteChange, Step
from tests.factories import AT, BlockFactory, MachineFactory, MemberFactory, StepFactory, key, moment
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


class Way:
    """A project whose route is saw, glue, sand."""

    def __init__(self, titles=("saw", "glue", "sand")):
        self.block = BlockFactory()
        self.shop, self.project = self.block.shop, self.block.project
        self.member = MemberFactory(shop=self.shop)
        self.steps = [
            StepFactory(shop=self.shop, block=self.block, position=position, kind="other", title=title)
            for position, title in enumerate(titles)
        ]

    def titles(self):
        return [step.title for step in route.in_place(self.project)]

    def step(self, title):
        return self.project.steps.get(title=title)

    def add(self, title="oil", **values):
        values = {"kind": "other", "title": title, **values}
        return route.add_step(self.member, self.project, values, at=AT)

    def undo(self):
        return route.undo(self.member, self.project, at=AT)


def told(row):
    return [event.verb for event in Event.objects.filter(target_key=row.key).order_by("pk")]


# --- added ---


def test_a_step_is_added_at_the_end():
    way = Way()
    way.add("oil")
    assert way.titles() == ["saw", "glue", "sand", "oil"]


def test_a_step_is_added_behind_another():
    way = Way()
    way.add("dry fit", after=way.steps[0])
    assert way.titles() == ["saw", "dry fit", "glue", "sand"]
    assert [step.position for step in route.in_place(way.project)] == [0, 1, 2, 3]


def test_a_step_about_strips_belongs_to_the_block():
    way = Way()
    assert (way.add("seal", kind="seal").block, way.add("oil", kind="coat").block) == (way.block, None)


def test_an_added_step_has_the_checklist_of_its_kind():
    way = Way()
    texts = [item.text for item in way.add("oil", kind="coat").checks.all()]
    assert tuple(texts) == checks_of("coat")


def test_history_says_who_added_a_step():
    way = Way()
    step = way.add("oil")
    event = Event.objects.get(target_key=step.key)
    assert (event.verb, event.actor, event.target_label) == (
        "added the step", way.member, f"{way.project.code} oil",
    )  # fmt: skip


def test_an_added_step_can_be_taken_back():
    way = Way()
    step = way.add("dry fit", after=way.steps[0])
    way.undo()
    assert way.titles() == ["saw", "glue", "sand"]
    assert Step.objects.get(pk=step.pk).removed_at == AT
    assert [step.position for step in route.in_place(way.project)] == [0, 1, 2]


def test_an_added_step_that_was_begun_stays():
    way = Way()
    work.tell(way.member, way.add("oil"), "began", key=key(), moment=moment())
    with pytest.raises(Refused, match="“oil” was begun meanwhile"):
        way.undo()
    assert "oil" in way.titles()


# --- changed ---


def test_a_step_has_its_new_words_hours_and_hands():
    way = Way()
    saw = MachineFactory(shop=way.shop)
    values = {
        "title": "rip",
        "minutes": 45,
        "people": 2,
        "machine": saw,
        "assignee": way.member,
        "mode": "passive",
    }
    route.change_step(way.member, way.steps[0], values, at=AT)
    step = Step.objects.get(pk=way.steps[0].pk)
    assert {name: getattr(step, name) for name in values} == values


def test_a_change_is_taken_back_with_all_it_touched():
    way = Way()
    values = {"minutes": 45, "machine": MachineFactory(shop=way.shop), "assignee": way.member}
    route.change_step(way.member, way.steps[0], values, at=AT)
    way.undo()
    step = Step.objects.get(pk=way.steps[0].pk)
    assert (step.minutes, step.machine, step.assignee) == (60, None, None)


def test_what_is_put_back_may_be_a_machine_and_a_maker():
    way = Way()
    before = {"machine": MachineFactory(shop=way.shop), "assignee": way.member}
    route.change_step(way.member, way.steps[0], before, at=AT)
    route.change_step(way.member, way.steps[0], {"machine": None, "assignee": None}, at=AT)
    way.undo()
    step = Step.objects.get(pk=way.steps[0].pk)
    assert (step.machine, step.assignee) == (before["machine"], way.member)


def test_a_step_kept_as_it_was_changes_nothing():
    way = Way()
    route.change_step(way.member, way.steps[0], {"title": "saw"}, at=AT)
    assert not RouteChange.objects.exists()


def test_another_kind_brings_its_own_checklist_and_block():
    way = Way()
    step = way.add("oil", kind="coat")
    route.change_step(way.member, step, {"kind": "seal"}, at=AT)
    step = Step.objects.get(pk=step.pk)
    assert tuple(item.text for item in step.checks.all()) == checks_of("seal")
    assert step.block == way.block
    way.undo()
    step = Step.objects.get(pk=step.pk)
    assert tuple(item.text for item in step.checks.all()) == checks_of("coat")
    assert (step.kind, step.block) == ("coat", None)


def test_a_checklist_that_somebody_wrote_stays_with_another_kind():
    way = Way()
    step = way.add("oil", kind="coat")
    route.add_check(way.member, step, "Tin stirred", at=AT)
    route.change_step(way.member, step, {"kind": "seal"}, at=AT)
    assert "Tin stirred" in [item.text for item in step.checks.all()]


def test_a_step_that_was_begun_stays_the_kind_it_is():
    way = Way()
    work.tell(way.member, way.steps[0], "began", key=key(), moment=moment())
    with pytest.raises(Refused, match="begun already"):
        route.change_step(way.member, way.steps[0], {"kind": "sand"}, at=AT)


# --- moved ---


@pytest.mark.parametrize(
    ("title", "places", "titles"),
    [
        ("saw", 1, ["glue", "saw", "sand"]),
        ("saw", 2, ["glue", "sand", "saw"]),
        ("sand", -1, ["saw", "sand", "glue"]),
        ("sand", -9, ["sand", "saw", "glue"]),
        ("glue", 9, ["saw", "sand", "glue"]),
    ],
)
def test_a_step_is_moved_and_moved_back(title, places, titles):
    way = Way()
    route.move_step(way.member, way.step(title), places, at=AT)
    assert way.titles() == titles
    way.undo()
    assert way.titles() == ["saw", "glue", "sand"]


def test_the_first_step_can_not_go_earlier():
    way = Way()
    route.move_step(way.member, way.steps[0], -1, at=AT)
    assert not RouteChange.objects.exists()


# --- removed ---


def test_a_removed_step_is_gone_from_the_route_and_comes_back_to_its_place():
    way = Way()
    route.remove_step(way.member, way.steps[1], at=AT)
    assert way.titles() == ["saw", "sand"]
    assert told(way.steps[1]) == ["removed the step"]
    way.undo()
    assert way.titles() == ["saw", "glue", "sand"]


@pytest.mark.parametrize("word", ["began", "done"])
def test_a_step_that_was_begun_is_not_removed(word):
    way = Way()
    work.tell(way.member, way.steps[0], word, key=key(), moment=moment())
    with pytest.raises(Refused, match="What has happened stays: skip it instead"):
        route.remove_step(way.member, way.steps[0], at=AT)


# --- several levels ---


def test_changes_are_taken_back_one_after_the_other():
    way = Way()
    way.add("oil")
    route.move_step(way.member, way.step("oil"), -3, at=AT)
    route.change_step(way.member, way.step("oil"), {"title": "wax"}, at=AT)
    route.remove_step(way.member, way.step("glue"), at=AT)
    seen = [way.titles()]
    for _ in range(4):
        way.undo()
        seen.append(way.titles())
    assert seen == [
        ["wax", "saw", "sand"],
        ["wax", "saw", "glue", "sand"],
        ["oil", "saw", "glue", "sand"],
        ["saw", "glue", "sand", "oil"],
        ["saw", "glue", "sand"],
    ]


def test_where_nothing_was_changed_nothing_is_taken_back():
    with pytest.raises(Refused, match="There is no change of this route"):
        Way().undo()


def test_a_change_of_another_project_is_not_taken_back():
    way, other = Way(), Way()
    other.add("oil")
    with pytest.raises(Refused, match="There is no change of this route"):
        way.undo()
    assert "oil" in other.titles()


def test_what_was_begun_since_keeps_its_kind_when_a_change_is_taken_back():
    way = Way()
    route.change_step(way.member, way.steps[0], {"kind": "sand", "minutes": 5}, at=AT)
    work.tell(way.member, way.step("saw"), "began", key=key(), moment=moment())
    way.undo()
    step = way.step("saw")
    assert (step.kind, step.minutes, step.state) == ("sand", 60, "under_way")


def test_history_says_that_a_change_was_taken_back():
    way = Way()
    way.add("oil")
    way.undo()
    event = Event.objects.get(target_key=way.project.key)
    assert (event.verb, event.target_label) == ("took back a change", f"{way.project.code} added “oil”")


# --- checklists ---


def test_a_line_is_added_last_and_taken_back():
    way = Way()
    route.add_check(way.member, way.steps[0], "Blade sharp", at=AT)
    route.add_check(way.member, way.steps[0], "Fence square", at=AT)
    assert [item.text for item in way.steps[0].checks.all()] == ["Blade sharp", "Fence square"]
    way.undo()
    assert [item.text for item in way.steps[0].checks.all()] == ["Blade sharp"]


def test_a_line_is_taken_off_and_comes_back_with_its_key_and_lesson():
    way = Way()
    lesson = Lesson.objects.create(shop=way.shop, created_at=AT, sentence="Mask on", step_kind="sand")
    step = way.add("sand it", kind="sand")
    item = step.checks.get(lesson=lesson)
    texts = [row.text for row in step.checks.all()]
    route.remove_check(way.member, item, at=AT)
    assert not CheckItem.objects.filter(pk=item.pk).exists()
    way.undo()
    assert CheckItem.objects.get(step=step, key=item.key).lesson == lesson
    assert [row.text for row in step.checks.all()] == texts


def test_a_line_ticked_since_stays_ticked_when_another_comes_back():
    way = Way()
    kept, gone = (route.add_check(way.member, way.steps[0], text, at=AT) for text in ("a", "b"))
    route.remove_check(way.member, gone, at=AT)
    plan.tick(way.member, kept, True, at=AT)
    way.undo()
    assert CheckItem.objects.get(pk=kept.pk).ticked_at == AT
