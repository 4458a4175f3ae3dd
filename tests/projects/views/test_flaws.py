import re

import pytest

from projects.actions import blocks, route
from projects.actions.flaws import mark_flaw
from projects.models import Block, Flaw
from projects.panel.casting import from_panel
from projects.panel.rows import kept_of
from tests.factories import AT, Bench, MemberFactory, design, key
from tests.projects.pages import at, words_of
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db

VOID = {"kind": "void", "along_mm": "200 mm", "across_mm": "50", "length_mm": "", "width_mm": "", "note": ""}


def page(bench, **query):
    url = at("flaws", bench.shop, bench.project.key, bench.block.key)
    return f"{url}?casting={query['casting']}" if query else url


def mark(client, bench, query=None, **typed):
    act = {"key": key(), "happened_at": "", "sent_at": ""}
    return client.post(page(bench, **(query or {})), {**act, **VOID, **typed})


def remove(client, bench, flaw, removed="yes"):
    url = at("flaw-remove", bench.shop, bench.project.key, bench.block.key, flaw.key)
    return client.post(url, {"removed": removed})


@pytest.fixture
def bench():
    made = Bench()
    design(made.member, made.project)
    return made


def test_a_flaw_is_marked_where_it_lies(signed_in, bench):
    response = mark(signed_in(bench.member), bench, note="right through")
    flaw = Flaw.objects.get()
    assert response.headers["Location"] == page(bench)
    assert (flaw.kind, flaw.along_mm, flaw.across_mm, flaw.note) == ("void", 200, 50, "right through")
    assert (flaw.length_mm, flaw.width_mm, flaw.casting) == (10, 10, 1)


def test_a_flaw_that_is_sent_twice_is_marked_once(signed_in, bench):
    act = {"key": key(), "happened_at": "", "sent_at": "", **VOID}
    for _ in range(2):
        signed_in(bench.member).post(page(bench), act)
    assert Flaw.objects.count() == 1


def test_a_leaned_strip_without_a_size_goes_all_along_with_its_gap(signed_in, bench):
    mark(signed_in(bench.member), bench, kind="lean")
    flaw = Flaw.objects.get()
    assert (flaw.along_mm, flaw.length_mm, flaw.width_mm) == (300, 600, 4)


def test_a_leaned_strip_with_a_length_keeps_it(signed_in, bench):
    mark(signed_in(bench.member), bench, kind="lean", length_mm="80")
    assert (Flaw.objects.get().along_mm, Flaw.objects.get().length_mm) == (200, 80)


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("along_mm", "601", "The block ends at 600 mm."),
        ("across_mm", "250", "The block ends at 198 mm."),
        ("along_mm", "", "This field is required."),
        ("along_mm", "-3", "0 mm or more"),
        ("length_mm", "0", "More than 0 mm is needed"),
        ("width_mm", "wide", "“wide”"),
        ("kind", "ghost", "Select a valid choice"),
    ],
)
def test_what_can_not_be_gets_a_sentence_and_stays(signed_in, bench, field, text, sentence):
    response = mark(signed_in(bench.member), bench, **{field: text})
    assert response.status_code == 422
    assert sentence in words_of(response).replace("&quot;", '"')
    assert not Flaw.objects.exists()
    if text and field != "kind":
        assert f'value="{text}"' in response.content.decode()


def test_a_tap_on_the_drawing_has_the_blocks_size_to_reckon_with(signed_in, bench):
    said = signed_in(bench.member).get(page(bench)).content.decode()
    assert (
        'data-taps data-along="along_mm" data-across="across_mm" data-length="600.0" data-width="198.0"'
        in said
    )


def test_the_fragment_shows_the_flaw_that_is_being_typed(signed_in, bench):
    response = signed_in(bench.member).get(page(bench), VOID, headers={"HX-Request": "true"})
    said = response.content.decode()
    assert "stroke-dasharray" in said
    assert "understood 50\u00a0mm" in said
    assert "<html" not in said


def test_a_fragment_of_half_a_flaw_shows_the_block(signed_in, bench):
    half = {**VOID, "across_mm": ""}
    said = signed_in(bench.member).get(page(bench), half, headers={"HX-Request": "true"}).content.decode()
    assert "with no flaws" in said
    assert "stroke-dasharray" not in said


def test_marked_flaws_are_listed_and_drawn_and_their_cost_is_said(signed_in, bench):
    client = signed_in(bench.member)
    mark(client, bench)
    said = words_of(client.get(page(bench)))
    assert "1 void , 10 mm × 10 mm, 200 mm along and 50 mm across" in said
    assert "enough is left The flaws cost no further block: the panel still takes 4." in said
    assert "Block A: 1 flaw, 2 pieces lost." in said


def test_flaws_that_cost_a_block_say_how_many_pieces_are_missing(signed_in, bench):
    client = signed_in(bench.member)
    mark(client, bench, along_mm="300", across_mm="99", length_mm="600", width_mm="190")
    said = words_of(client.get(page(bench)))
    assert re.search(r"not enough The flaws cost 1 block more : \d+ pieces no longer find a place\.", said)
    assert "no bar of the panel comes from it" in said


def test_a_flaw_is_taken_off_and_put_back(signed_in, bench):
    client = signed_in(bench.member)
    mark(client, bench)
    flaw = Flaw.objects.get()
    assert remove(client, bench, flaw).headers["Location"] == page(bench)
    said = words_of(client.get(page(bench)))
    assert "“void” was taken off Block A. Put it back" in said
    assert "200 mm along" not in said
    remove(client, bench, flaw, "no")
    assert "200 mm along" in words_of(client.get(page(bench)))
    verbs = list(Event.objects.filter(target_key=flaw.key).order_by("pk").values_list("verb", flat=True))
    assert verbs == ["marked", "removed", "brought back"]


def test_taking_it_off_twice_writes_one_line(signed_in, bench):
    client = signed_in(bench.member)
    mark(client, bench)
    for _ in range(2):
        remove(client, bench, Flaw.objects.get())
    assert Event.objects.filter(target_key=Flaw.objects.get().key, verb="removed").count() == 1


def test_each_casting_has_its_own_flaws(signed_in, bench):
    client = signed_in(bench.member)
    mark(client, bench, {"casting": 2}, along_mm="480")
    assert "200 mm along" not in words_of(client.get(page(bench)))
    second = words_of(client.get(page(bench, casting=2)))
    assert "Casting 1 Casting 2 Casting 3 Casting 4" in second
    assert "480 mm along" in second
    assert "Block A, casting 2: 1 flaw" in second


@pytest.mark.parametrize("casting", ["0", "100", "two", "-1"])
def test_a_casting_that_can_not_be_is_no_such_page(signed_in, bench, casting):
    assert signed_in(bench.member).get(page(bench, casting=casting)).status_code == 404


def test_a_measured_block_is_as_long_as_it_was_measured(signed_in, bench):
    Block.objects.update(measured={"length_mm": {"planned": 600, "measured": 571.5}})
    bench.block.refresh_from_db()
    response = mark(signed_in(bench.member), bench, along_mm="590")
    assert "The block ends at 571.5" in words_of(response)


def test_the_block_page_leads_here_and_shows_what_is_marked(signed_in, bench):
    client = signed_in(bench.member)
    block = at("block", bench.shop, bench.project.key)
    before = client.get(block)
    assert page(bench) in before.content.decode()
    assert "the cuts go around it" in words_of(before)
    mark(client, bench)
    after = words_of(client.get(block))
    assert "1 marked: void." in after
    assert "Block A: 1 flaw, 2 pieces lost." in after


def test_without_a_panel_flaws_are_marked_all_the_same(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    mark(client, bench)
    said = words_of(client.get(page(bench)))
    assert "200 mm along" in said
    assert "piece lost" not in said


def test_a_viewer_looks_and_does_not_mark(signed_in, bench):
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    client = signed_in(viewer)
    assert client.get(page(bench)).status_code == 200
    assert mark(client, bench).status_code == 403
    assert not Flaw.objects.exists()


def test_a_block_of_another_project_is_no_such_page(signed_in, bench):
    other = Bench()
    url = at("flaws", bench.shop, bench.project.key, other.block.key)
    assert signed_in(bench.member).get(url).status_code == 404


def test_the_page_asks_as_often_with_many_flaws_as_with_one(signed_in, bench, django_assert_num_queries):
    client = signed_in(bench.member)
    for count in (1, 6):
        for n in range(count):
            mark(client, bench, along_mm=str(100 + 40 * n))
        with django_assert_num_queries(11):
            client.get(page(bench))


def test_history_tells_where_it_was(signed_in, bench):
    mark(signed_in(bench.member), bench)
    event = Event.objects.get(verb="marked")
    assert event.target_label == f"{bench.project.code} Block A, void"
    assert event.after == {"along_mm": 200, "across_mm": 50, "length_mm": 10, "width_mm": 10}
    assert event.at > AT


# a project with a block for each


def test_each_block_of_a_project_has_its_own_flaws_and_no_castings(signed_in, bench):
    second, _ = blocks.add_block(bench.member, bench.project, at=AT)
    client = signed_in(bench.member)
    url = at("flaws", bench.shop, bench.project.key, second.key)
    client.post(url, {"key": key(), "happened_at": "", "sent_at": "", **VOID})
    said = words_of(client.get(url))
    assert "Casting 1" not in said
    assert "Block B: 1 flaw" in said
    kept = kept_of(bench.project)
    assert [one.key for one in kept.design.stock] == ["Block B"]
    # the flawed one stays as it lies there, the other stands for the first that is still to be cast
    asked = {one.letter: from_panel(kept, one).own_strips for one in kept.blocks}
    assert asked == {"A": 50, "B": second.strips}


def test_a_block_with_flaws_is_not_taken_back_with_its_route(bench):
    second, _ = blocks.add_block(bench.member, bench.project, at=AT)
    place = {"along_mm": 20.0, "across_mm": 20.0, "length_mm": 5.0, "width_mm": 5.0}
    mark_flaw(bench.member, second, {"kind": "void", **place}, at=AT)
    with pytest.raises(Refused, match="Flaws of Block B were marked meanwhile"):
        route.undo(bench.member, bench.project, at=AT)
