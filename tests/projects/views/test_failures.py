import re

import pytest

from projects.actions import check, lessons, seal
from projects.actions import failures as acts
from projects.forms.failures import FailureForm
from projects.models import Cause, Failure, LogEntry
from tests.factories import AT, Bench, LessonFactory, MemberFactory, StepFactory, key, moment
from tests.projects.pages import FRAGMENT, act, at, no_photo, photo, said_at, typed_in, words_of
from tests.projects.room import Room
from workshop.models import Event, Picture

pytestmark = pytest.mark.django_db


def list_page(bench):
    return at("failures", bench.shop, bench.project.key)


def new_page(bench):
    return at("failure-new", bench.shop, bench.project.key)


def own_page(failure):
    return at("failure", failure.shop, failure.project.key, failure.key)


def remove_page(room):
    return at("failure-remove", room.shop, room.project.key, room.failure.key)


def typed(**changed):
    return {
        "kind": "soft",
        "where": "Along one edge",
        "severity": "repair",
        "pour": "",
        "done": "",
        **changed,
    }


def a_pour(bench):
    bench.weigh_b(bench.meet(humidity_percent=61.0), grams=142)
    return bench.pour(minutes=10, depth_mm=13)


# --- the list ---


def test_without_failures_the_page_says_what_it_is_for(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(list_page(bench)))
    assert "Nothing went wrong" in words
    assert new_page(bench).encode() in signed_in(bench.member).get(list_page(bench)).content


def test_a_failure_is_shown_with_what_was_said_of_it(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(new_page(bench), act(**typed(done="Scraped")))
    words = words_of(client.get(list_page(bench)))
    assert "Tacky or soft wants repair Along one edge Done: Scraped Ines" in words


def test_the_facts_of_its_cup_stand_beside_a_failure(signed_in):
    bench = Bench()
    pour = a_pour(bench)
    client = signed_in(bench.member)
    words = words_of(client.post(new_page(bench), act(**typed(pour=str(pour.pk))), follow=True))
    assert f"A 314.5 g from {bench.lot_a.code} , B 142 g from {bench.lot_b.code}" in words
    assert "Ratio clear B 0.3 % off" in words
    assert "Parts met to pour 10 min of 2:07 h pot life, shorter in so big a cup" in words
    assert "Pour 1 on Block A 10 Mar 10:10" in words  # 09:10 UTC in Berlin


def test_a_photo_is_shown_beside_its_failure(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(new_page(bench), act(**typed(), photo=photo()))
    content = client.get(list_page(bench)).content.decode()
    assert f"/pictures/{Picture.objects.get().key}/small.jpg" in content


# --- a new one ---


def test_the_page_offers_the_last_pour_and_its_facts(signed_in):
    bench = Bench()
    pour = a_pour(bench)
    response = signed_in(bench.member).get(new_page(bench))
    assert typed_in(response)["pour"] == str(pour.pk)
    assert f"A 314.5 g from {bench.lot_a.code}" in words_of(response)


def test_a_failure_leads_to_its_own_page(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(), photo=photo()))
    failure = Failure.objects.get()
    assert (response.status_code, response["Location"]) == (302, own_page(failure))
    assert (failure.kind, failure.where, failure.severity) == ("soft", "Along one edge", "repair")
    assert failure.entry.entry_pictures.count() == 1


def test_a_script_is_led_to_its_own_page(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed()), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, own_page(Failure.objects.get()))


def test_a_failure_sent_twice_is_recorded_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed())
    for _ in range(2):
        assert client.post(new_page(bench), {**sent, "photo": photo()}).status_code == 302
    assert Failure.objects.count() == LogEntry.objects.count() == Picture.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "said", "sentence"),
    [
        ("kind", "", "This field is required."),
        ("kind", "ugly", "Select a valid choice."),
        ("where", " ", "This field is required."),
        ("where", "x" * 301, "at most 300 characters"),
        ("severity", "", "This field is required."),
        ("pour", "999999", "Select a valid choice."),
        ("step", "999999", "Select a valid choice."),
        ("done", "x" * 1001, "at most 1000 characters"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(signed_in, field, said, sentence):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(**{field: said})))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert not Failure.objects.exists()


def test_a_bad_photo_gives_a_sentence_at_its_field_and_keeps_all_that_was_typed(signed_in):
    bench = Bench()
    pour = a_pour(bench)
    sent = typed(kind="haze", where="In the middle", severity="lost", pour=str(pour.pk), done="Warmed it")
    response = signed_in(bench.member).post(new_page(bench), act(**sent, photo=no_photo()))
    assert response.status_code == 422
    assert said_at(response, "photo")
    assert {name: typed_in(response)[name] for name in sent} == sent
    assert not Failure.objects.exists()


def test_a_bad_photo_can_be_replaced_by_a_good_one_in_the_same_act(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed())
    shown = typed_in(client.post(new_page(bench), {**sent, "photo": no_photo()}))
    assert shown["key"] == sent["key"]
    client.post(new_page(bench), {**sent, "photo": photo()})
    assert Failure.objects.get().entry.entry_pictures.count() == 1


def test_a_pour_of_another_project_is_no_choice(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(pour=str(a_pour(Bench()).pk))))
    assert response.status_code == 422
    assert "Select a valid choice." in said_at(response, "pour")


def test_every_kind_stands_in_one_group(signed_in):
    groups = FailureForm(shop=Bench().shop, project=None).kind_groups()
    found = [str(radio.data["value"]) for _, radios, _ in groups for radio in radios]
    assert sorted(found) == sorted(Failure.Kind.values)


def test_the_group_of_the_chosen_kind_is_open_when_the_form_comes_back(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(kind="leak", where="")))
    assert typed_in(response)["kind"] == "leak"
    opened = re.findall(r"<details open><summary>(.*?)</summary>", response.content.decode())
    assert opened == ["Mould and strips"]


def test_a_browser_is_not_asked_to_find_what_lies_in_a_fold(signed_in):
    bench = Bench()
    radios = re.findall(
        r'<input type="radio" name="kind"[^>]*>',
        signed_in(bench.member).get(new_page(bench)).content.decode(),
    )
    assert len(radios) == len(Failure.Kind)
    assert not [radio for radio in radios if "required" in radio]


def test_a_failure_can_be_one_of_a_step(signed_in):
    bench = Bench()
    signed_in(bench.member).post(new_page(bench), act(**typed(step=str(bench.step.pk))))
    assert Failure.objects.get().entry.step == bench.step


def test_a_step_of_another_project_is_no_choice(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(step=str(Bench().step.pk))))
    assert "Select a valid choice." in said_at(response, "step")


# --- its own page ---


def cold(bench):
    """A failure of a pour at 12 C whose sheet wants 18."""
    bench.weigh_b(bench.meet(room_c=12.0, humidity_percent=70.0), grams=142)
    return recorded(bench, bench.pour(minutes=10))


def recorded(bench, pour=None, **changed):
    values = {"kind": "soft", "where": "Along one edge", "severity": "repair", "pour": pour, "done": ""}
    return acts.record_failure(
        bench.member, bench.project, {**values, **changed}, key=key(), moment=moment(900)
    )


def test_the_page_of_a_failure_says_what_stands_out_of_its_pour(signed_in):
    bench = Bench(min_c=18, max_humidity_percent=65)
    words = words_of(signed_in(bench.member).get(own_page(cold(bench))))
    assert "This pour was below 15 °C , colder than the sheet allows" in words
    assert "12 °C, 70 % cold damp sheet: from 18 °C, up to 65 %" in words


def test_a_shop_of_inches_reads_the_limit_in_its_own_degrees(signed_in):
    bench = Bench()
    failure = cold(bench)
    type(bench.shop).objects.update(units="inch")
    assert "This pour was below 59 °F" in words_of(signed_in(bench.member).get(own_page(failure)))


def test_the_page_of_a_failure_shows_what_its_pour_had_in_common_with_others(signed_in):
    bench = Bench()
    for n in range(3):
        bench.weigh_b(bench.meet(minutes=1000 * n), minutes=1000 * n + 1)
        bench.pour(minutes=1000 * n + 5)
    words = words_of(signed_in(bench.member).get(own_page(cold(bench))))
    assert "1 of 1 pours below 15 °C went soft , 0 of 3 others." in words
    assert "Few pours prove nothing" in words


def over_a_wet_coat(bench):
    """Bubble trails of a pour 12 min after its seal coat, whose stop was overruled."""
    step = StepFactory(shop=bench.shop, block=bench.block, kind="seal", title="Seal")
    values = {"coat": 1, "open_h": 4.0, "close_h": 14.0, "done": True}
    seal.seal_coat(bench.member, step, values, key=key(), moment=moment(0))
    check.overrule(bench.member, bench.step, "seal_coat", "It looks dry", key=key(), moment=moment(1))
    bench.weigh_b(bench.meet(minutes=2), minutes=3)
    return recorded(bench, bench.pour(minutes=12), kind="wood_bubbles")


@pytest.mark.parametrize("page", ["failure", "failure-cause"])
def test_a_wet_coat_and_who_overruled_its_stop_stand_among_the_facts(signed_in, page):
    bench = Bench()
    failure = over_a_wet_coat(bench)
    words = words_of(signed_in(bench.member).get(at(page, bench.shop, bench.project.key, failure.key)))
    assert "over a seal coat that was still wet" in words
    assert "12 min old at the pour still wet dry at 4 h, takes a pour until 14 h" in words
    assert "overruled the seal coat is not ready" in words
    assert f"{bench.member.name}, 10 Mar" in words
    assert ": It looks dry" in words


def test_the_cause_that_a_wet_coat_speaks_for_comes_first(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(cause_page(over_a_wet_coat(bench)))
    assert order_of_causes(response)[0] == "early"
    assert "too early: not yet hard its facts say so" in words_of(response)


def test_a_failure_without_a_pour_says_so(signed_in):
    room = Room()
    words = words_of(signed_in(room.member).get(own_page(room.failure)))
    assert "Not from a pour: no cup stands beside it." in words
    assert "This pour was" not in words


def test_a_failure_of_before_its_limits_were_kept_is_still_told(signed_in):
    bench = Bench()
    failure = cold(bench)
    old = {"sheet_min_c", "sheet_max_c", "sheet_max_humidity_percent", "tolerance_percent"}
    cups = [{name: cup[name] for name in cup.keys() - old} for cup in failure.gathered["cups"]]
    gathered = {name: failure.gathered[name] for name in failure.gathered.keys() - {"allowed_mm"}}
    Failure.objects.update(gathered={**gathered, "version": 1, "cups": cups})
    assert "This pour was below 15 °C" in words_of(signed_in(bench.member).get(own_page(failure)))


def main_acts(response):
    return re.findall(r'class="btn main" href="[^"]*">(.*?)</a>', response.content.decode())


def test_the_main_act_is_first_to_say_why_then_to_write_the_lesson(signed_in):
    bench = Bench()
    client, failure = signed_in(bench.member), recorded(bench)
    assert main_acts(client.get(own_page(failure))) == ["Say why"]
    lessons.suspect(bench.member, failure, code="cold", status="suspected", evidence="", at=AT)
    assert main_acts(client.get(own_page(failure))) == ["Write the lesson"]
    LessonFactory(shop=bench.shop, failure=failure)
    assert main_acts(client.get(own_page(failure))) == []


def test_a_viewer_sees_no_acts_on_the_page_of_a_failure(signed_in):
    room = Room()
    viewer = signed_in(MemberFactory(shop=room.shop, role="viewer"))
    words = words_of(viewer.get(own_page(room.failure)))
    assert not [
        deed for deed in ("Say why", "Complete or change it", "Take it off the page") if deed in words
    ]


def test_a_removed_failure_has_no_page(signed_in):
    room = Room()
    acts.remove_failure(room.member, room.failure, at=AT, removed=True)
    assert signed_in(room.member).get(own_page(room.failure)).status_code == 404


# --- said better ---


def change_page(failure):
    return at("failure-change", failure.shop, failure.project.key, failure.key)


def test_what_is_kept_stands_in_the_form(signed_in):
    bench = Bench()
    failure = recorded(bench, step=bench.step, done="Scraped")
    shown = typed_in(signed_in(bench.member).get(change_page(failure)))
    assert {name: shown[name] for name in ("kind", "where", "severity", "step", "done")} == {
        "kind": "soft", "where": "Along one edge", "severity": "repair", "step": str(bench.step.pk),
        "done": "Scraped",
    }  # fmt: skip


def test_a_changed_failure_leads_back_to_its_page(signed_in):
    bench = Bench()
    failure = recorded(bench)
    response = signed_in(bench.member).post(
        change_page(failure), act(**typed(kind="haze", done="Sanded"), photo=photo())
    )
    assert response["Location"] == own_page(failure)
    failure.refresh_from_db()
    assert (failure.kind, failure.done, failure.entry.entry_pictures.count()) == ("haze", "Sanded", 1)


def test_a_change_sent_twice_adds_its_photo_once(signed_in):
    bench = Bench()
    failure = recorded(bench)
    client, sent = signed_in(bench.member), act(**typed())
    for _ in range(2):
        assert client.post(change_page(failure), {**sent, "photo": photo()}).status_code == 302
    assert failure.entry.entry_pictures.count() == 1


def test_a_bad_change_is_shown_again(signed_in):
    room = Room()
    response = signed_in(room.member).post(change_page(room.failure), act(**typed(where="")))
    assert response.status_code == 422
    assert said_at(response, "where")


# --- why ---


def cause_page(failure):
    return at("failure-cause", failure.shop, failure.project.key, failure.key)


def order_of_causes(response):
    return re.findall(r'name="code" value="(\w+)"', response.content.decode())


def test_usual_causes_of_the_kind_come_first(signed_in):
    room = Room()
    response = signed_in(room.member).get(cause_page(room.failure))
    assert order_of_causes(response)[:3] == ["ratio", "cold", "old"]
    assert sorted(order_of_causes(response)) == sorted(Cause.Code.values)
    assert "Both masses of the cup against the sheet" in words_of(response)


def test_what_the_facts_point_to_comes_before_what_is_usual(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(cause_page(cold(bench)))
    # cold, damp air and a heavy cup are facts of this pour; of them cold is usual for a soft one
    assert order_of_causes(response)[:4] == ["cold", "damp_air", "big_cup", "ratio"]
    assert "too cold its facts say so" in words_of(response)


def test_a_cause_leads_back_to_the_page_where_it_stands(signed_in):
    room = Room()
    sent = act(code="cold", status="confirmed", evidence="The test cup too")
    response = signed_in(room.member).post(cause_page(room.failure), sent, follow=True)
    assert response.redirect_chain == [(own_page(room.failure), 302)]
    assert "confirmed too cold The test cup too" in words_of(response)


def test_a_cause_sent_twice_is_kept_once(signed_in):
    room = Room()
    client, sent = signed_in(room.member), act(code="cold", status="suspected", evidence="")
    for _ in range(2):
        assert client.post(cause_page(room.failure), sent).status_code == 302
    assert Event.objects.filter(verb="suspected").count() == 1


def test_a_cause_named_before_stands_in_the_form_again(signed_in):
    room = Room()
    lessons.suspect(room.member, room.failure, code="lamp", status="ruled_out", evidence="no lamp", at=AT)
    response = signed_in(room.member).get(f"{cause_page(room.failure)}?code=lamp")
    shown = typed_in(response)
    assert (shown["code"], shown["status"], shown["evidence"]) == ("lamp", "ruled_out", "no lamp")
    assert "<details open><summary>Another cause</summary>" in response.content.decode()


@pytest.mark.parametrize(
    ("field", "said"), [("code", ""), ("code", "moon"), ("status", ""), ("evidence", "x" * 501)]
)
def test_a_bad_cause_is_said_at_its_field(signed_in, field, said):
    room = Room()
    sent = act(**{"code": "cold", "status": "suspected", "evidence": "", field: said})
    response = signed_in(room.member).post(cause_page(room.failure), sent)
    assert response.status_code == 422
    assert said_at(response, field)
    assert not Cause.objects.exists()


# --- off the page and back ---


def test_a_failure_taken_off_the_page_can_be_brought_back(signed_in):
    room = Room()
    client = signed_in(room.member)
    response = client.post(remove_page(room), {"removed": "yes"}, follow=True)
    assert "Along one edge" not in words_of(response)
    assert "“tacky or soft” was taken off this page. Bring it back" in words_of(response)
    response = client.post(remove_page(room), {"removed": "no"}, follow=True)
    assert "Along one edge" in words_of(response)


def test_a_failure_taken_off_twice_is_taken_off_once(signed_in):
    room = Room()
    client = signed_in(room.member)
    for _ in range(2):
        assert client.post(remove_page(room), {"removed": "yes"}).status_code == 302
    assert Event.objects.filter(target_key=room.failure.key, verb="removed").count() == 1


def test_a_failure_of_another_project_is_no_such_page(signed_in):
    room, other = Room(), Room()
    address = at("failure-remove", room.shop, other.project.key, room.failure.key)
    assert signed_in(room.member).post(address, {"removed": "yes"}).status_code == 404
