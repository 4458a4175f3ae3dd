"""The log's river: what can be found in it, and what can be taken out of it."""

import pytest

from projects.actions import bench as acts
from projects.actions import readings
from projects.models import LogEntry
from tests.factories import Bench, MemberFactory, ProjectFactory, key, moment
from tests.projects.pages import at, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db


class Logged(Bench):
    """A shop with notes of two people on two projects, and a cup."""

    def __init__(self):
        super().__init__()
        self.other = ProjectFactory(shop=self.shop, title="Lamp")
        self.joris = MemberFactory(shop=self.shop, name="Joris")
        self.meet()
        self.calm = self.note("It lies calm")
        self.haze = self.note("Haze at ÄRMEL", by=self.joris, project=self.other, minutes=5)

    def note(self, text, by=None, project=None, minutes=2):
        return acts.add_note(
            by or self.member,
            key=key(),
            moment=moment(minutes),
            project=project or self.project,
            text=text,
        )

    @property
    def river(self):
        return at("river", self.shop)

    @property
    def log(self):
        return at("log", self.shop, self.project.key)


def shown(response):
    return set(response.context["page"].object_list)


def test_the_river_of_the_shop_has_every_project_in_it(signed_in):
    bench = Logged()
    response = signed_in(bench.member).get(bench.river)
    assert shown(response) == set(LogEntry.objects.all())
    assert "Joris · Lamp" in words_of(response)


def test_the_river_of_a_project_has_its_own_alone(signed_in):
    bench = Logged()
    assert bench.haze not in shown(signed_in(bench.member).get(bench.log))


@pytest.mark.parametrize("text", ["calm", "CALM", "lies it"])
def test_a_search_finds_its_words_in_whatever_case_and_order(signed_in, text):
    bench = Logged()
    assert shown(signed_in(bench.member).get(bench.log, {"q": text})) == {bench.calm}


def test_a_search_knows_the_case_of_other_letters_too(signed_in):
    bench = Logged()
    assert shown(signed_in(bench.member).get(bench.river, {"q": "ärmel"})) == {bench.haze}


def test_a_percent_sign_is_only_a_sign(signed_in):
    bench = Logged()
    assert not shown(signed_in(bench.member).get(bench.river, {"q": "l%calm"}))


@pytest.mark.parametrize(("group", "kinds"), [("words", {"note"}), ("cups", {"mix"}), ("clocks", set())])
def test_a_group_shows_its_kinds_alone(signed_in, group, kinds):
    bench = Logged()
    response = signed_in(bench.member).get(bench.river, {"kind": group})
    assert {entry.kind for entry in shown(response)} == kinds


def test_every_kind_of_entry_is_in_a_group():
    from projects.models.log import GROUPS

    grouped = [kind for _, _, kinds in GROUPS for kind in kinds]
    assert sorted(grouped) == sorted(LogEntry.Kind.values)


def test_what_one_person_did_can_be_shown_alone(signed_in):
    bench = Logged()
    response = signed_in(bench.member).get(bench.river, {"who": str(bench.joris.key)})
    assert shown(response) == {bench.haze}


def test_the_river_can_be_narrowed_to_a_project(signed_in):
    bench = Logged()
    response = signed_in(bench.member).get(bench.river, {"project": bench.other.code})
    assert shown(response) == {bench.haze}


@pytest.mark.parametrize("asked", [{"who": "nobody"}, {"kind": "weather"}, {"project": "zzz"}, {"page": "x"}])
def test_a_question_that_means_nothing_shows_all_of_it(signed_in, asked):
    bench = Logged()
    assert len(shown(signed_in(bench.member).get(bench.river, asked))) == 3


def test_nothing_found_leads_back_to_all_of_it(signed_in):
    bench = Logged()
    words = words_of(signed_in(bench.member).get(bench.river, {"q": "thunder"}))
    assert "Nothing of that kind" in words
    assert "Show all of it" in words


def test_what_was_asked_stays_in_the_fields_and_on_the_next_page(signed_in):
    bench = Logged()
    for n in range(31):
        bench.note("It lies calm", minutes=10 + n)
    content = signed_in(bench.member).get(bench.log, {"q": "calm"}).content.decode()
    assert 'name="q" value="calm"' in content
    assert 'href="?q=calm&amp;page=2"' in content


def test_readings_stand_at_their_entry(signed_in):
    bench = Logged()
    assert "temperature in the shop 20 °C" in words_of(signed_in(bench.member).get(bench.log))


def test_a_reading_by_itself_is_said_once(signed_in):
    bench = Logged()
    values = {"kind": "hardness", "value": 72.0, "lot": None, "text": ""}
    readings.take_reading(bench.member, values, key=key(), moment=moment(9), project=bench.project)
    assert words_of(signed_in(bench.member).get(bench.log)).count("72 Shore D") == 1


# --- taken out, brought back ---


def removal(bench, entry):
    return at("entry-remove", bench.shop, entry.key)


def test_a_note_that_was_taken_out_is_shown_no_more_and_can_be_brought_back(signed_in):
    bench = Logged()
    client = signed_in(bench.member)
    response = client.post(removal(bench, bench.calm), {"removed": "yes"})
    assert response["Location"] == bench.log
    response = client.get(bench.log)
    assert bench.calm not in shown(response)
    assert "“note: It lies calm” was taken out of the log. Bring it back" in words_of(response)


def test_a_note_that_was_brought_back_is_there_again(signed_in):
    bench = Logged()
    client = signed_in(bench.member)
    for removed in ("yes", "no"):
        client.post(removal(bench, bench.calm), {"removed": removed})
    assert bench.calm in shown(client.get(bench.log))


def test_history_keeps_both(signed_in):
    bench = Logged()
    for removed in ("yes", "yes", "no"):
        signed_in(bench.member).post(removal(bench, bench.calm), {"removed": removed})
    events = Event.objects.filter(target_key=bench.calm.key).order_by("pk")
    assert [event.verb for event in events] == ["logged note", "removed", "brought back"]


def test_an_act_is_not_taken_out(signed_in):
    bench = Logged()
    entry = LogEntry.objects.get(kind="mix")
    assert signed_in(bench.member).post(removal(bench, entry), {"removed": "yes"}).status_code == 404
    entry.refresh_from_db()
    assert entry.removed_at is None


def test_only_notes_and_photos_offer_it(signed_in):
    bench = Logged()
    content = signed_in(bench.member).get(bench.log).content.decode()
    assert content.count("Take it out of the log") == 1  # of a note and a cup


def test_a_viewer_is_not_offered_it(signed_in):
    bench = Logged()
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    assert b"Take it out" not in signed_in(viewer).get(bench.log).content
