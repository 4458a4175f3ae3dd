from datetime import date, timedelta

import pytest
from django.utils import timezone

from projects.actions import bench as acts
from projects.models import CheckItem, LogEntry, Pour, Step, Timer
from tests.factories import (
    AT,
    Bench,
    BlockFactory,
    CheckItemFactory,
    MemberFactory,
    ProjectFactory,
    StepFactory,
    key,
)
from tests.projects.pages import FRAGMENT, act, at, no_photo, photo, said_at, typed_in, words_of
from workshop.acting import Moment
from workshop.models import Event, Picture

pytestmark = pytest.mark.django_db


def step_page(bench):
    return at("bench-step", bench.shop, bench.step.key)


def pour_page(bench):
    return at("pour", bench.shop, bench.step.key)


def photo_page(bench):
    return at("bench-photo", bench.shop, bench.step.key)


def open_step(shop, state="to_do", due_on=None, title="Pour block A"):
    """A step of a project of its own."""
    project = ProjectFactory(shop=shop, due_on=due_on, title=title)
    return StepFactory(shop=shop, block=BlockFactory(shop=shop, project=project), state=state)


# --- which pour ---


def test_the_bench_offers_what_can_be_gone_on_with(signed_in):
    member = MemberFactory()
    steps = [open_step(member.shop, state) for state in ("to_do", "under_way", "waiting", "done", "skipped")]
    response = signed_in(member).get(at("bench", member.shop))
    assert set(response.context["steps"]) == set(steps[:3])


def test_a_pour_under_way_comes_before_what_waits_or_was_not_begun(signed_in):
    member = MemberFactory()
    waiting, begun, new = (open_step(member.shop, state) for state in ("waiting", "under_way", "to_do"))
    response = signed_in(member).get(at("bench", member.shop))
    assert list(response.context["steps"]) == [begun, new, waiting]


def test_what_is_wanted_first_comes_first_and_what_can_wait_last(signed_in):
    member = MemberFactory()
    days = [None, date(2026, 6, 1), date(2026, 5, 1)]
    some, june, may = (open_step(member.shop, due_on=due_on) for due_on in days)
    response = signed_in(member).get(at("bench", member.shop))
    assert list(response.context["steps"]) == [may, june, some]


def test_an_empty_bench_leads_to_a_new_project(signed_in):
    member = MemberFactory()
    response = signed_in(member).get(at("bench", member.shop))
    assert "Nothing to do" in words_of(response)
    assert at("project-new", member.shop).encode() in response.content


def test_the_bench_shows_no_step_of_another_shop(signed_in):
    Bench()
    member = MemberFactory()
    assert not signed_in(member).get(at("bench", member.shop)).context["steps"]


# --- one pour ---


def test_a_pour_says_how_much_is_to_be_mixed(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(step_page(bench)))
    assert f"1 023 g to mix , {bench.resin.name} 100 : 45 by mass" in words  # worked in test_advice.py


def test_a_pour_says_how_much_is_still_wanted(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet(a_g=400), grams=180)
    bench.pour()
    words = words_of(signed_in(bench.member).get(step_page(bench)))
    assert "443 g still wanted ; 580 g are in the mould" in words  # 1022.7 - 580


def test_a_cup_that_waits_leads_to_the_pour(signed_in):
    bench = Bench()
    bench.meet()
    response = signed_in(bench.member).get(step_page(bench))
    assert "Cup 1 , 456 g weigh B" in words_of(response)
    assert f'href="{pour_page(bench)}">Pour it</a>' in response.content.decode()


def test_without_a_cup_the_one_act_is_to_mix(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(step_page(bench))
    assert f'href="{at("mix", bench.shop, bench.step.key)}">Mix a cup</a>' in response.content.decode()


def test_a_pour_shows_its_running_clocks(signed_in):
    bench = Bench()
    bench.meet()
    bench.pour()
    content = signed_in(bench.member).get(step_page(bench)).content.decode()
    assert all(f'data-key="{timer.key}"' in content for timer in Timer.objects.running())


def test_a_pour_shows_when_it_was_poured_by_the_clock_on_the_wall(signed_in):
    bench = Bench()
    bench.meet()
    bench.pour(minutes=10, depth_mm=13)
    words = words_of(signed_in(bench.member).get(step_page(bench)))
    assert "Pour 1 , 10 Mar 10:10, 13 mm deep" in words  # 09:10 UTC in Berlin


def test_a_pour_without_a_resin_can_still_be_opened(signed_in):
    bench = Bench()
    type(bench.block).objects.update(resin=None)
    assert signed_in(bench.member).get(step_page(bench)).status_code == 200


# --- the checklist ---


def tick_page(bench, item):
    return at("tick", bench.shop, bench.step.key, item.key)


def test_a_tick_leads_back_to_the_pour(signed_in):
    bench = Bench()
    item = CheckItemFactory(step=bench.step)
    response = signed_in(bench.member).post(tick_page(bench, item), {"ticked": "yes"})
    assert (response.status_code, response["Location"]) == (302, step_page(bench))
    assert CheckItem.objects.get().ticked_by == bench.member.user


def test_a_tick_gives_a_script_the_line_alone(signed_in):
    bench = Bench()
    item = CheckItemFactory(step=bench.step)
    response = signed_in(bench.member).post(tick_page(bench, item), {"ticked": "yes"}, **FRAGMENT)
    assert response.status_code == 200
    assert response.content.decode().startswith('<li class="tickline">')
    assert 'aria-checked="true"' in response.content.decode()


def test_a_ticked_line_can_be_cleared(signed_in):
    bench = Bench()
    item = CheckItemFactory(step=bench.step, ticked_at=AT, ticked_by=bench.member.user)
    signed_in(bench.member).post(tick_page(bench, item), {"ticked": "no"})
    assert CheckItem.objects.get().ticked_at is None


def test_a_tick_sent_twice_is_one(signed_in):
    bench = Bench()
    item = CheckItemFactory(step=bench.step)
    client = signed_in(bench.member)
    for _ in range(2):
        client.post(tick_page(bench, item), {"ticked": "yes"})
    assert Event.objects.filter(target_key=item.key).count() == 1


def test_a_line_of_another_step_is_no_such_page(signed_in):
    bench = Bench()
    item = CheckItemFactory(step=StepFactory(shop=bench.shop))
    assert signed_in(bench.member).post(tick_page(bench, item), {"ticked": "yes"}).status_code == 404


# --- into the mould ---


def test_the_page_of_the_pour_offers_the_depth_of_the_filled_mould(signed_in):
    bench = Bench()
    bench.meet(a_g=2000)
    # 10 mm finished, 1 mm flattened from each face, 1 mm over the strips
    assert typed_in(signed_in(bench.member).get(pour_page(bench)))["depth_mm"] == "13 mm"


def test_the_page_of_the_pour_shows_each_cup_and_its_ratio(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet(), grams=142)
    bench.meet(minutes=1, a_g=100)
    words = words_of(signed_in(bench.member).get(pour_page(bench)))
    assert "Cup 1 456.5 g clear" in words
    assert "Cup 2 145 g B not weighed" in words


def test_without_a_cup_the_page_of_the_pour_leads_to_the_mixing(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(pour_page(bench))
    assert "No mixed cup is waiting." in words_of(response)
    assert b'id="pour-form"' not in response.content


def test_a_pour_leads_to_its_photo(signed_in):
    bench = Bench()
    bench.meet()
    response = signed_in(bench.member).post(pour_page(bench), act(depth_mm="13 mm", text="Ran a little"))
    assert (response.status_code, response["Location"]) == (302, photo_page(bench))
    assert Pour.objects.get().depth_mm == 13
    assert LogEntry.objects.get(kind="pour").text.endswith("Ran a little")


def test_a_pour_sent_twice_is_poured_once(signed_in):
    bench = Bench()
    bench.meet()
    client, sent = signed_in(bench.member), act(depth_mm="13 mm", text="")
    answers = [client.post(pour_page(bench), sent) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert Pour.objects.count() == 1


def test_a_pour_without_a_cup_is_refused_with_a_sentence_and_keeps_what_was_typed(signed_in):
    bench = Bench()
    bench.meet()
    bench.pour()
    response = signed_in(bench.member).post(pour_page(bench), act(depth_mm="13 mm", text="Second try"))
    assert response.status_code == 422
    assert "There is no mixed cup to pour. Weigh A and B first." in words_of(response)
    assert typed_in(response)["text"] == "Second try"


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("", "This field is required."),
        ("0", "More than 0 mm is needed."),
        ("-13", "More than 0 mm is needed."),
        ("13 m", "13 000 mm is too much: 500 mm or less."),
        ("13 g", "“g” is no unit for this."),
        ("deep", "“deep” is not understood."),
    ],
)
def test_a_depth_that_is_wrong_is_said_at_its_field(signed_in, said, sentence):
    bench = Bench()
    bench.meet()
    response = signed_in(bench.member).post(pour_page(bench), act(depth_mm=said, text="Ran a little"))
    assert response.status_code == 422
    assert sentence in " ".join(said_at(response, "depth_mm").split())
    assert (typed_in(response)["depth_mm"], typed_in(response)["text"]) == (said, "Ran a little")
    assert not Pour.objects.exists()


def test_all_that_is_to_be_remembered_of_a_pour_is_kept(signed_in):
    bench = Bench()
    bench.meet()
    longest = signed_in(bench.member).get(pour_page(bench)).context["form"].fields["text"].max_length
    signed_in(bench.member).post(pour_page(bench), act(depth_mm="13 mm", text="x" * longest))
    assert LogEntry.objects.get(kind="pour").text.endswith("x" * longest)


def test_a_pour_said_later_by_a_phone_starts_its_clocks_when_it_happened(signed_in):
    bench = Bench()
    bench.meet()
    moments = {"happened_at": "2026-11-01T10:00:00Z", "sent_at": "2026-11-01T10:40:00Z"}
    signed_in(bench.member).post(pour_page(bench), {**act(depth_mm="13", text=""), **moments})
    pour = Pour.objects.get()
    assert pour.created_at - pour.started_at == timedelta(minutes=40)
    assert {timer.started_at for timer in pour.entry.timers.all()} == {pour.started_at}


# --- a photo ---


def test_a_photo_stands_in_the_log_of_its_step(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(photo_page(bench), act(photo=photo(), text="Level and clear"))
    assert (response.status_code, response["Location"]) == (302, step_page(bench))
    entry = LogEntry.objects.get(kind="photo")
    assert (entry.step, entry.text) == (bench.step, "Level and clear")
    assert entry.entry_pictures.get().caption == "Level and clear"


KEPT = "done The photo is kept. It stands in the log."


def test_the_page_after_a_photo_says_that_it_is_kept(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    landed = client.post(photo_page(bench), act(photo=photo(), text=""), follow=True)
    assert landed.redirect_chain[-1][0] == at("bench-step", bench.shop, bench.step.key)
    assert KEPT in words_of(landed)
    assert KEPT not in words_of(client.get(landed.redirect_chain[-1][0]))  # said once


def test_what_is_no_photo_is_not_called_kept(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(photo_page(bench), act(photo=no_photo(), text=""))
    assert KEPT not in words_of(client.get(at("bench-step", bench.shop, bench.step.key)))


def test_a_photo_can_be_looked_at(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(photo_page(bench), act(photo=photo(), text=""))
    picture = LogEntry.objects.get(kind="photo").entry_pictures.get().picture
    response = client.get(f"/s/{bench.shop.key}/pictures/{picture.key}/small.jpg")
    assert b"".join(response.streaming_content).startswith(b"\xff\xd8")


def test_a_photo_sent_twice_stands_in_the_log_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(text="Level")
    answers = [client.post(photo_page(bench), {**sent, "photo": photo()}) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert LogEntry.objects.filter(kind="photo").count() == Picture.objects.count() == 1


@pytest.mark.parametrize("upload", [no_photo, lambda: ""], ids=["no photo", "nothing"])
def test_what_is_no_photo_gives_a_sentence_at_its_field_and_keeps_what_was_typed(signed_in, upload):
    bench = Bench()
    response = signed_in(bench.member).post(photo_page(bench), act(photo=upload(), text="Level"))
    assert response.status_code == 422
    assert said_at(response, "photo")
    assert typed_in(response)["text"] == "Level"
    assert not LogEntry.objects.exists()


def test_a_step_that_is_done_keeps_its_page(signed_in):
    bench = Bench()
    Step.objects.update(state="done")
    assert signed_in(bench.member).get(step_page(bench)).status_code == 200


# --- cup after cup ---


def test_a_cup_poured_while_the_last_one_flows_belongs_to_it(signed_in):
    bench, now = Bench(), timezone.now()
    client = signed_in(bench.member)
    meet_at(bench, now - timedelta(minutes=12))
    page = at("pour", bench.shop, bench.step.key)
    typed = {"depth_mm": "4 mm", "text": "", "more": "on"}
    first = client.post(page, act(**typed))
    assert "Pour 1 flows until" in words_of(client.get(first.url))
    assert "Pour 1 flows until" in words_of(client.get(step_page(bench)))
    meet_at(bench, now)
    assert "It belongs to pour 1 of" in words_of(client.get(page))
    assert client.post(page, act(**typed, same="on")).status_code == 302
    assert list(Pour.objects.values_list("lift", flat=True)) == [1, 1]


def test_a_cup_of_a_pour_of_its_own_has_its_window_to_wait_for(signed_in):
    bench, now = Bench(), timezone.now()
    client = signed_in(bench.member)
    meet_at(bench, now - timedelta(minutes=12))
    page = at("pour", bench.shop, bench.step.key)
    client.post(page, act(**typed_in(client.get(page)) | {"more": "on"}))
    meet_at(bench, now)
    typed = typed_in(client.get(page)) | {"more": "on"}
    typed.pop("same")
    answer = client.post(page, act(**typed))
    assert answer.status_code == 422
    assert "The last pour takes another from" in words_of(answer)


def meet_at(bench, when):
    """A cup of which both parts are weighed."""
    batch = acts.parts_meet(
        bench.member, bench.step, key=key(), moment=Moment.now(when), resin=bench.resin, cup=bench.cup()
    )
    acts.weigh(bench.member, bench.step, batch, "B", 142.0, key=key(), moment=Moment.now(when))
