import re

import pytest

from projects.actions import failures
from projects.actions import lessons as acts
from projects.models import Cause, CheckItem, Failure, Lesson
from projects.trouble import AGAINST, TROUBLES
from tests.factories import AT, Bench, LessonFactory, MemberFactory, ProjectFactory, StepFactory, key, moment
from tests.projects.pages import FRAGMENT, act, at, said_at, typed_in, words_of
from tests.projects.room import Room
from workshop.models import Event

pytestmark = pytest.mark.django_db


def room_page(bench):
    return at("lessons", bench.shop)


def new_page(bench):
    return at("lesson-new", bench.shop)


def kind_page(bench, kind="soft"):
    return at("failure-kind", bench.shop, kind)


def own_page(room):
    return at("failure-lesson", room.shop, room.project.key, room.failure.key)


def retire_page(bench, lesson):
    return at("lesson-retire", bench.shop, lesson.key)


def typed(**changed):
    return {"sentence": "Bottles warm", "step_kind": "pour", "resin": "", "species": "", **changed}


def go_wrong(bench, pour=None, **changed):
    values = {"kind": "soft", "where": "Edge", "severity": "repair", "pour": pour, "done": ""}
    return failures.record_failure(
        bench.member, bench.project, {**values, **changed}, key=key(), moment=moment()
    )


def pour_at(bench, minutes, room_c):
    bench.weigh_b(bench.meet(minutes=minutes, room_c=room_c, a_g=60), grams=27, minutes=minutes + 1)
    return bench.pour(minutes=minutes + 5)


def cold_shop():
    """Two soft pours at 12 C, and eight sound ones at 20 C."""
    bench = Bench()
    for n in range(10):
        pour = pour_at(bench, 1000 * n, 12.0 if n < 2 else 20.0)
        if n < 2:
            go_wrong(bench, pour)
    return bench


# --- the room ---


def test_without_anything_the_room_says_what_it_is_for(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(room_page(bench)))
    assert "Nothing to learn from yet" in words
    assert "Write a lesson" in words


def test_the_room_says_in_words_how_often_what_went_wrong(signed_in):
    bench = Bench()
    for severity in ("repair", "lost", "lost"):
        go_wrong(bench, severity=severity)
    go_wrong(bench, kind="leak")
    words = words_of(signed_in(bench.member).get(room_page(bench)))
    assert "Four things went wrong so far. No lessons stand on checklists." in words
    assert "Tacky or soft Three times, two blocks lost." in words
    assert "The mould leaked Once. Nobody has said why yet." in words


def test_the_most_frequent_kind_stands_first(signed_in):
    bench = Bench()
    for kind in ("leak", "haze", "haze"):
        go_wrong(bench, kind=kind)
    content = signed_in(bench.member).get(room_page(bench)).content.decode()
    assert re.findall(r"lessons/kinds/(\w+)/", content) == ["haze", "leak"]


def test_causes_that_were_not_ruled_out_stand_beside_their_kind(signed_in):
    room = Room()
    for code, status in (("cold", "suspected"), ("ratio", "confirmed"), ("old", "ruled_out")):
        acts.suspect(room.member, room.failure, code=code, status=status, evidence="", at=AT)
    words = words_of(signed_in(room.member).get(room_page(room)))
    assert "Why, as far as anybody knows: the ratio was off, too cold." in words


def test_a_striking_contrast_is_said_in_plain_counts(signed_in):
    bench = cold_shop()
    words = words_of(signed_in(bench.member).get(room_page(bench)))
    assert "in common 2 of 2 pours below 15 °C went soft, 0 of 8 others." in words


def test_what_chance_could_well_do_is_not_held_up(signed_in):
    bench = Bench()
    go_wrong(bench, pour_at(bench, 0, 12.0))
    pour_at(bench, 1000, 20.0)
    assert "went soft" not in words_of(signed_in(bench.member).get(room_page(bench)))


def test_failures_of_a_removed_project_or_taken_off_are_not_counted(signed_in):
    bench = Bench()
    go_wrong(bench)
    failures.remove_failure(bench.member, go_wrong(bench, kind="haze"), at=AT, removed=True)
    gone = ProjectFactory(shop=bench.shop)
    Failure.objects.filter(pk=go_wrong(bench, kind="leak").pk).update(project=gone)
    type(gone).objects.filter(pk=gone.pk).update(removed_at=AT)
    assert "One thing went wrong so far." in words_of(signed_in(bench.member).get(room_page(bench)))


def test_another_shops_failures_and_lessons_are_not_shown(signed_in):
    Room()
    bench = Bench()
    assert "Nothing to learn from yet" in words_of(signed_in(bench.member).get(room_page(bench)))


def test_a_lesson_says_where_it_stands_and_whence_it_came(signed_in):
    room = Room()
    later, _ = [StepFactory(shop=room.shop, block=room.block) for _ in range(2)]
    values = {"sentence": "Bottles warm", "step_kind": "pour", "resin": room.resin, "species": None}
    acts.learn(room.member, {**values, "failure": room.failure}, at=AT)
    CheckItem.objects.filter(step=later).update(ticked_at=AT)
    words = words_of(signed_in(room.member).get(room_page(room)))
    assert f"Bottles warm Pour, with {room.resin}. On 2 checklists to come, ticked 1 time." in words
    assert f"From tacky or soft, {room.project.code} ." in words


def test_lessons_beyond_a_page_lie_on_the_next(signed_in):
    bench = Bench()
    for n in range(21):
        LessonFactory(shop=bench.shop, sentence=f"Check {n}.")
    client = signed_in(bench.member)
    assert "page 1 of 2" in words_of(client.get(room_page(bench)))
    assert "Check 0." in words_of(client.get(f"{room_page(bench)}?page=2"))


def test_the_room_is_found_from_every_page_and_from_more_on_a_phone(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    assert room_page(bench) in client.get(at("now", bench.shop)).content.decode()
    shop = client.get(f"/s/{bench.shop.key}/shop/").content.decode()
    assert shop.count(f'href="{room_page(bench)}"') == 2


# --- one kind ---


def test_the_page_of_a_kind_counts_what_its_pours_had_in_common(signed_in):
    bench = cold_shop()
    words = words_of(signed_in(bench.member).get(kind_page(bench)))
    assert "2 of 2 pours below 15 °C went soft , 0 of 8 others." in words
    assert "Chance alone does that less than once in twenty times." in words  # 1 of C(10,2) = 45
    assert "Counted from 10 pours, the strongest contrast first. Few pours prove nothing" in words


def test_the_page_of_a_kind_says_what_is_usual_and_that_no_source_says_it(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(kind_page(bench, "overheated")))
    assert "Poured too deep Depth of the pour against what the sheet allows" in words
    assert "Common practice, no source." in words
    assert "nobody over the mould" in words
    assert "It has not happened here." in words


def test_the_page_of_a_kind_lists_each_of_the_shop(signed_in):
    room = Room()
    go_wrong(room, kind="haze", where="Not this one")
    words = words_of(signed_in(room.member).get(kind_page(room)))
    assert "Along one edge" in words
    assert "Not this one" not in words


@pytest.mark.parametrize("kind", Failure.Kind.values)
def test_every_kind_has_a_page(signed_in, kind):
    bench = Bench()
    assert signed_in(bench.member).get(kind_page(bench, kind)).status_code == 200


def test_a_kind_that_is_none_has_no_page(signed_in):
    bench = Bench()
    assert signed_in(bench.member).get(kind_page(bench, "ugly")).status_code == 404


# --- a new lesson ---


def test_the_lesson_of_a_failure_begins_with_what_usually_prevents_it(signed_in):
    room = Room()
    shown = typed_in(signed_in(room.member).get(own_page(room)))
    assert shown["sentence"] == "Both parts weighed, ratio read out by a second person"
    assert shown["step_kind"] == "pour"


def test_a_lesson_of_a_failure_leads_back_to_it(signed_in):
    room = Room()
    response = signed_in(room.member).post(own_page(room), act(**typed()))
    assert response["Location"] == at("failure", room.shop, room.project.key, room.failure.key)
    assert room.failure.lessons.filter(sentence="Bottles warm").exists()


def test_a_lesson_without_a_failure_leads_to_the_room(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(resin=str(bench.resin.pk))))
    assert response["Location"] == room_page(bench)
    lesson = Lesson.objects.get()
    assert (lesson.failure, lesson.resin, lesson.species) == (None, bench.resin, None)
    assert bench.step.checks.get().lesson == lesson


def test_a_script_is_led_to_the_room(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed()), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, room_page(bench))


def test_a_lesson_sent_twice_is_learned_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed())
    for _ in range(2):
        assert client.post(new_page(bench), sent).status_code == 302
    assert Lesson.objects.count() == CheckItem.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("sentence", " "),
        ("sentence", "x" * 161),
        ("step_kind", ""),
        ("step_kind", "dance"),
        ("resin", "999999"),
        ("species", "999999"),
    ],
)
def test_a_bad_lesson_is_said_at_its_field(signed_in, field, said):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(**{field: said})))
    assert response.status_code == 422
    assert said_at(response, field)
    assert not Lesson.objects.exists()


# --- let go, and back ---


def test_a_lesson_let_go_can_be_brought_back(signed_in):
    bench = Bench()
    lesson = LessonFactory(shop=bench.shop)
    client = signed_in(bench.member)
    words = words_of(client.post(retire_page(bench, lesson), {"retired": "yes"}, follow=True))
    assert "Bring it back: Room above 18 °C" in words or "Nothing to learn from yet" in words
    client.post(retire_page(bench, lesson), {"retired": "no"})
    lesson.refresh_from_db()
    assert lesson.retired_at is None


def test_a_lesson_let_go_twice_is_let_go_once(signed_in):
    bench = Bench()
    lesson = LessonFactory(shop=bench.shop)
    client = signed_in(bench.member)
    for _ in range(2):
        assert client.post(retire_page(bench, lesson), {"retired": "yes"}).status_code == 302
    assert Event.objects.filter(target_key=lesson.key, verb="let go of").count() == 1


def test_a_viewer_sees_no_acts_in_the_room(signed_in):
    room = Room()
    words = words_of(signed_in(MemberFactory(shop=room.shop, role="viewer")).get(room_page(room)))
    assert "Write a lesson" not in words
    assert "Let it go" not in words


# --- what a lesson begins with ---


@pytest.mark.parametrize("code", Cause.Code)
def test_a_lesson_begins_with_what_stops_its_cause(signed_in, code):
    room = Room()
    acts.suspect(room.member, room.failure, code=code, status="suspected", evidence="", at=AT)
    found = typed_in(signed_in(room.member).get(own_page(room)))
    trouble = TROUBLES[room.failure.kind]
    sentence, stops_at = AGAINST.get(code, (trouble.prevent[0], trouble.stops_at))
    assert (found["sentence"], found["step_kind"]) == (sentence, stops_at or trouble.stops_at)


def test_every_cause_with_a_name_has_what_stops_it():
    assert set(Cause.Code) - set(AGAINST) == {Cause.Code.OTHER}


def test_the_page_says_which_cause_the_lesson_comes_from(signed_in):
    room = Room()
    acts.suspect(room.member, room.failure, code="cold", status="suspected", evidence="", at=AT)
    words = words_of(signed_in(room.member).get(own_page(room)))
    assert "It came of too cold , as far as anybody knows." in words


def test_a_confirmed_cause_comes_before_a_suspected_one_and_a_ruled_out_one_not_at_all(signed_in):
    room = Room()
    for code, status in (("ratio", "ruled_out"), ("cold", "suspected"), ("old", "confirmed")):
        acts.suspect(room.member, room.failure, code=code, status=status, evidence="", at=AT)
    assert typed_in(signed_in(room.member).get(own_page(room)))["sentence"] == AGAINST["old"][0]


# --- failures from here ---


def test_the_latest_failures_are_a_press_away(signed_in):
    room = Room()
    page = signed_in(room.member).get(room_page(room)).content.decode()
    assert at("failure", room.shop, room.project.key, room.failure.key) in page


def test_what_went_wrong_just_now_can_be_written_down_from_here(signed_in):
    bench = Bench()
    page = signed_in(bench.member).get(room_page(bench)).content.decode()
    assert at("failure-new", bench.shop, bench.project.key) in page


def test_who_may_only_look_is_not_asked_to_write(signed_in):
    bench = Bench()
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    page = signed_in(viewer).get(room_page(bench)).content.decode()
    assert at("failure-new", bench.shop, bench.project.key) not in page


def test_another_shops_failures_are_not_among_the_latest(signed_in):
    other, bench = Room(), Bench()
    page = signed_in(bench.member).get(room_page(bench)).content.decode()
    assert str(other.failure.key) not in page


def test_the_shops_page_names_failures(signed_in):
    bench = Bench()
    page = signed_in(bench.member).get(f"/s/{bench.shop.key}/shop/")
    assert "Failures and lessons" in words_of(page)
