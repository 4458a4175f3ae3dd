"""Asked once, done all the same: each act that something stands against, as a maker presses it."""

from datetime import timedelta

import pytest
from django.utils import timezone

from projects.actions import bench as acts
from projects.actions import glue, seal
from projects.models import Block, LogEntry, SandingSession, Step
from tests.factories import Bench, StepFactory, key
from tests.projects.pages import act, ago, at, typed_in, words_of
from workshop.models import Event, Receipt

pytestmark = pytest.mark.django_db

H = 60
CASTING, OTHER = "It is a test casting", "Another reason"


class Waiting(Bench):
    """A shop in which something has not hardened yet."""

    def at(self, kind, position=9, **more):
        return StepFactory(shop=self.shop, block=self.block, kind=kind, position=position, title=kind, **more)

    def seal(self, minutes_ago=H):
        """A seal coat that can be handled after 4 h, and sits in its window until 14 h."""
        values = {"coat": 1, "open_h": 4.0, "close_h": 14.0, "done": True}
        seal.seal_coat(self.member, self.at("seal", 1), values, key=key(), moment=ago(minutes_ago))

    def mixed(self, minutes_ago=20):
        acts.parts_meet(
            self.member, self.step, key=key(), moment=ago(minutes_ago), resin=self.resin, cup=self.cup()
        )

    def poured(self, minutes_ago=15):
        self.mixed(minutes_ago + 5)
        acts.pour(self.member, self.step, key=key(), moment=ago(minutes_ago), depth_mm=13.0, text="")

    def glued(self, minutes_ago=H):
        values = {"part": "part 1", "clamped_h": 12.0, "done": True}
        of_panel = {"shop": self.shop, "block": None, "project": self.project, "title": "Glue up"}
        step = StepFactory(kind="glue_up", position=6, **of_panel)
        glue.glue_up(self.member, step, values, key=key(), moment=ago(minutes_ago))

    def page_of_panel(self, name, kind):
        """The page of an act at a new step that is about the whole panel."""
        step = StepFactory(
            shop=self.shop, block=None, project=self.project, kind=kind, position=9, title=kind
        )
        return at(name, self.shop, step.key)

    def page(self, name, kind):
        """The page of an act at a new step of a kind."""
        return at(name, self.shop, self.at(kind).key)


def kept():
    """What the newest entry says of why it was done."""
    return LogEntry.objects.order_by("-pk").first().detail.get("all_the_same")


# --- asked, and done all the same ---


@pytest.fixture
def wet():
    """Strips ready to be loaded while their seal coat is wet."""
    bench = Waiting()
    bench.seal()
    bench.page_of_strips = bench.page("act-strips", "load")
    return bench


def test_the_first_press_asks_and_stores_nothing(signed_in, wet):
    response = signed_in(wet.member).post(wet.page_of_strips, act(count="50"))
    said = words_of(response)
    assert response.status_code == 422
    assert "are you sure? Nothing is written down yet." in said
    assert "The seal coat can be handled from" in said
    assert all(word in said for word in ("It is dry to the touch", "It has happened already", OTHER))
    assert not LogEntry.objects.filter(kind="strips").exists()


def test_what_was_typed_comes_back_with_the_question(signed_in, wet):
    response = signed_in(wet.member).post(wet.page_of_strips, act(count="48", text="Two spare", done="on"))
    fields = typed_in(response)
    assert (fields["count"], fields["text"], "done" in fields) == ("48", "Two spare", True)


def test_the_second_press_with_a_reason_stores_the_act_with_it(signed_in, wet):
    client, sent = signed_in(wet.member), act(count="50")
    shown = typed_in(client.post(wet.page_of_strips, sent))["asked"]
    response = client.post(wet.page_of_strips, {**sent, "asked": shown, "why": "It is dry to the touch"})
    assert response.status_code == 302
    assert kept()["why"] == "It is dry to the touch"
    assert kept()["against"][0].startswith("seal coat still wet for")


def test_words_follow_the_button(signed_in, wet):
    sent = act(count="50", asked="tack_wet", why=CASTING, why_words="I want to see it.")
    signed_in(wet.member).post(wet.page_of_strips, sent)
    assert kept()["why"] == "It is a test casting. I want to see it"


@pytest.mark.parametrize("typed", [{}, {"why": OTHER}, {"why_words": "  "}])
def test_a_second_press_without_a_reason_asks_for_one(signed_in, wet, typed):
    response = signed_in(wet.member).post(wet.page_of_strips, act(count="50", asked="tack_wet", **typed))
    assert response.status_code == 422
    assert "Choose why, or say it in your words" in words_of(response)


def test_the_button_that_was_pressed_stays_pressed(signed_in, wet):
    response = signed_in(wet.member).post(wet.page_of_strips, act(count="50", asked="tack_wet", why=OTHER))
    assert typed_in(response)["why"] == OTHER


def test_words_that_are_too_long_say_so_and_stay(signed_in, wet):
    typed = act(count="50", asked="tack_wet", why=CASTING, why_words="x" * 161)
    response = signed_in(wet.member).post(wet.page_of_strips, typed)
    assert response.status_code == 422
    assert "160 characters at most" in words_of(response)
    assert typed_in(response)["why_words"] == "x" * 161


def test_a_reason_is_carried_on_while_something_else_is_wrong(signed_in, wet):
    client, typed = signed_in(wet.member), {"asked": "tack_wet", "why": CASTING, "why_words": "tried"}
    fields = typed_in(client.post(wet.page_of_strips, act(count="some", **typed)))
    assert {name: fields[name] for name in typed} == typed


def test_a_reason_counts_only_for_what_was_shown(signed_in, wet):
    sent = act(count="50", asked="something_else", why=CASTING)
    response = signed_in(wet.member).post(wet.page_of_strips, sent)
    assert response.status_code == 422
    assert not LogEntry.objects.filter(kind="strips").exists()


def test_done_all_the_same_and_sent_twice_is_stored_once(signed_in, wet):
    client, sent = signed_in(wet.member), act(count="50", asked="tack_wet", why=CASTING)
    assert [client.post(wet.page_of_strips, sent).status_code for _ in range(2)] == [302, 302]
    assert LogEntry.objects.filter(kind="strips").count() == 1


def test_done_all_the_same_a_second_time_is_asked_about_and_keeps_its_reason(signed_in, wet):
    client, reason = signed_in(wet.member), {"asked": "tack_wet", "why": CASTING}
    client.post(wet.page_of_strips, act(count="50", **reason))
    fields = typed_in(client.post(wet.page_of_strips, act(count="50", **reason)))
    assert {name: fields[name] for name in reason} == reason
    receipt = Receipt.objects.get()
    assert client.post(wet.page_of_strips, {**fields, "again": str(receipt.key)}).status_code == 302
    assert LogEntry.objects.filter(kind="strips").done_all_the_same().count() == 2


def test_an_act_sent_twice_is_not_asked_about_what_it_did_itself(signed_in):
    bench = Waiting()
    client, page = signed_in(bench.member), bench.page("act-seal", "seal")
    sent = act(coat="1", temp_c="20", steady_or_falling="yes", open_h="4", close_h="14")
    assert [client.post(page, sent).status_code for _ in range(2)] == [302, 302]


def test_nothing_stands_against_it_nothing_is_asked(signed_in):
    bench = Waiting()
    bench.seal(minutes_ago=5 * H)
    assert signed_in(bench.member).post(bench.page("act-strips", "load"), act(count="50")).status_code == 302
    assert kept() is None


def test_the_page_says_it_before_anything_is_pressed(signed_in, wet):
    page = signed_in(wet.member).get(wet.page_of_strips)
    assert "The seal coat can be handled from" in words_of(page)
    assert "Why all the same?" not in words_of(page)


def pressed(minutes_ago):
    """The moments of an act that was pressed so long ago and is sent now."""
    now = timezone.now()
    return {"happened_at": (now - timedelta(minutes=minutes_ago)).isoformat(), "sent_at": now.isoformat()}


def test_who_waited_until_it_was_dry_is_asked_no_more(signed_in):
    bench = Waiting()
    bench.seal(minutes_ago=5 * H)  # dry for an hour; first pressed two hours ago
    page = bench.page("act-strips", "load")
    sent = act(count="50", asked="tack_wet") | pressed(2 * H)
    assert signed_in(bench.member).post(page, sent).status_code == 302
    entry = LogEntry.objects.get(kind="strips")
    assert entry.received_at - entry.happened_at < timedelta(minutes=1)


def test_what_had_happened_already_keeps_the_moment_of_its_first_press(signed_in):
    bench = Waiting()
    bench.seal(minutes_ago=5 * H)
    page = bench.page("act-strips", "load")
    sent = act(count="50", asked="tack_wet", why="It has happened already") | pressed(2 * H)
    signed_in(bench.member).post(page, sent)
    entry = LogEntry.objects.get(kind="strips")
    assert entry.received_at - entry.happened_at == pytest.approx(
        timedelta(hours=2), abs=timedelta(minutes=1)
    )


def test_the_log_tells_why_and_is_searched_by_it(signed_in, wet):
    client = signed_in(wet.member)
    client.post(wet.page_of_strips, act(count="50", asked="tack_wet", why=CASTING))
    page = at("log", wet.shop, wet.project.key)
    assert "All the same, though seal coat still wet for" in words_of(client.get(page))
    assert "All the same, though" in words_of(client.get(page, {"q": "test casting"}))
    assert "All the same, though" not in words_of(client.get(page, {"q": "tried with a nail"}))


def test_a_reason_is_text_and_nothing_else(signed_in, wet):
    typed = act(count="50", asked="tack_wet", why_words="<b>dry</b>")
    client = signed_in(wet.member)
    client.post(wet.page_of_strips, typed)
    assert b"&lt;b&gt;dry&lt;/b&gt;" in client.get(at("log", wet.shop, wet.project.key)).content


# --- each act ---


def ask(signed_in, bench, page, **typed):
    """What stands against an act that is pressed, then the act done all the same."""
    client, sent = signed_in(bench.member), act(**typed)
    response = client.post(page, sent)
    assert response.status_code == 422
    shown = typed_in(response)["asked"]
    assert client.post(page, {**sent, "asked": shown, "why": CASTING}).status_code == 302
    return words_of(response)


def test_a_depth_with_a_nought_too_many_is_asked_about(signed_in):
    bench = Waiting()
    bench.mixed()
    said = ask(signed_in, bench, at("pour", bench.shop, bench.step.key), depth_mm="130 mm")
    assert "130 mm is 10 times the 13 mm planned" in said
    assert "130 mm is deeper than the 50 mm that the sheet" in said
    assert kept()["why"] == CASTING
    assert [name.replace("\u00a0", " ") for name in kept()["against"]] == [
        "130 mm deep, 13 mm planned",
        "130 mm deep, 50 mm by the sheet",
    ]


def test_a_cup_in_a_cold_shop_is_asked_about(signed_in):
    bench = Waiting(min_c=15, max_c=28)
    cup = {"a_g": "314.5", "wanted_a_g": "313.5", "lot_a": str(bench.lot_a.pk), "lot_b": str(bench.lot_b.pk)}
    said = ask(signed_in, bench, at("mix", bench.shop, bench.step.key), room_c="9", **cup)
    assert "The shop has 9 °C; the sheet of" in said
    assert LogEntry.objects.get(kind="mix").detail["all_the_same"]["why"] == CASTING


def test_a_block_too_early_out_of_its_mould_is_asked_about(signed_in):
    bench = Waiting()
    bench.poured(minutes_ago=20 * H)
    said = ask(signed_in, bench, bench.page("act-demould", "demould"), length_mm="198", width_mm="600")
    assert "By its clock it leaves the mould" in said
    assert "Length 198 mm and width 600 mm look swapped" in said
    assert Block.objects.get().measured["length_mm"]["measured"] == 198.0


def test_a_panel_in_its_clamps_is_not_sanded_without_a_word(signed_in):
    bench = Waiting()
    bench.glued()
    said = ask(signed_in, bench, bench.page_of_panel("act-sand", "sand"), grade="P120", side="front")
    assert "Clamps, part 1: 11 h are left" in said
    assert SandingSession.objects.get().entry.detail["all_the_same"]["why"] == CASTING


def test_a_panel_in_its_clamps_is_not_coated_without_a_word(signed_in):
    bench = Waiting()
    bench.glued()
    said = ask(signed_in, bench, bench.page_of_panel("act-coat", "coat"), number="1", temp_c="20")
    assert "Clamps, part 1: 11 h are left" in said


def test_a_part_in_its_clamps_is_not_glued_again_without_a_word(signed_in):
    bench = Waiting()
    bench.glued()
    page = bench.page_of_panel("act-glue-up", "glue_up")
    assert "Clamps, part 1: 11 h are left" in ask(signed_in, bench, page, part="part 1", temp_c="20")
    other = act(part="part 2", temp_c="20")
    assert signed_in(bench.member).post(page, other).status_code == 302


def test_a_block_that_cures_is_not_sawn_without_a_word(signed_in):
    bench = Waiting()
    bench.poured(minutes_ago=20 * H)
    step = bench.at("cut")
    said = ask(signed_in, bench, at("step-begin", bench.shop, step.key), text="Sharp blade")
    assert "Block A cures: 14 h are left" in said
    assert Step.objects.get(pk=step.pk).state == Step.State.UNDER_WAY
    assert kept()["why"] == CASTING


def test_a_block_that_cures_is_not_set_to_rest_without_a_word(signed_in):
    bench = Waiting()
    bench.poured(minutes_ago=20 * H)
    page = at("step-wait", bench.shop, bench.at("rest", mode="passive").key)
    assert "Block A cures" in ask(signed_in, bench, page, minutes="24 h")
    assert kept()["why"] == CASTING


def test_a_step_is_said_to_be_done_without_a_question(signed_in):
    bench = Waiting()
    bench.poured()
    page = at("step-done", bench.shop, bench.at("cut", state="under_way").key)
    assert signed_in(bench.member).post(page, act(text="")).status_code == 302


BLOCK = {
    "strip_mm": "2", "gap_mm": "2", "finished_mm": "10", "strips": "50", "length_mm": "600",
    "flatten_mm": "1", "edge_mm": "3", "rim_mm": "4", "over_mm": "1",
    "film_percent": "3", "soak_percent": "2",
}  # fmt: skip


def test_figures_of_a_poured_block_change_with_a_reason_that_history_keeps(signed_in):
    bench = Waiting()
    bench.poured()
    page = at("block", bench.shop, bench.project.key)
    said = ask(signed_in, bench, page, **{**BLOCK, "resin": str(bench.resin.pk), "strips": "52"})
    assert "strips 50, now 52" in said
    event = Event.objects.filter(verb="changed").latest("pk")
    assert (event.why, event.before, event.after) == (CASTING, {"strips": 50}, {"strips": 52})


def test_figures_of_a_poured_block_may_say_what_has_happened_already(signed_in):
    bench = Waiting()
    bench.poured()
    typed = act(**{**BLOCK, "resin": str(bench.resin.pk), "strips": "52"})
    client, page = signed_in(bench.member), at("block", bench.shop, bench.project.key)
    asked = client.post(page, typed)
    assert 'value="It has happened already"' in asked.content.decode()
    fields = typed_in(asked)
    client.post(page, {**typed, "asked": fields["asked"], "why": "It has happened already"})
    assert Event.objects.filter(verb="changed").latest("pk").why == "It has happened already"


def test_figures_of_a_block_that_nobody_poured_change_without_a_question(signed_in):
    bench = Waiting()
    typed = act(**{**BLOCK, "resin": str(bench.resin.pk), "strips": "52"})
    page = at("block", bench.shop, bench.project.key)
    assert signed_in(bench.member).post(page, typed).status_code == 302
    assert Event.objects.filter(verb="changed").latest("pk").why == ""
