"""The pages of several blocks: one more is added, each has its page and its sheets."""

import pytest

from projects.models import Block, Sheet
from tests.factories import Bench, BlockFactory, MemberFactory, StepFactory, design
from tests.projects.pages import FRAGMENT, act, at, typed_in, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    return Bench()


@pytest.fixture
def maker(signed_in, bench):
    return signed_in(bench.member)


def add(client, bench, **sent):
    return client.post(at("block-add", bench.shop, bench.project.key), sent or act())


def of(bench, letter):
    return at("block-of", bench.shop, bench.project.key, letter)


def test_a_further_block_is_added_and_its_page_opens(maker, bench):
    response = add(maker, bench)
    assert response["Location"] == of(bench, "B")
    assert "Block B is there, with 18 steps and its lines on the shelf list." in words_of(
        maker.get(response["Location"])
    )


def test_a_script_is_led_to_its_page(maker, bench):
    response = maker.post(at("block-add", bench.shop, bench.project.key), act(), **FRAGMENT)
    assert response["HX-Redirect"] == of(bench, "B")


def test_sent_twice_it_is_added_once(maker, bench):
    sent = act()
    for _ in range(2):
        assert add(maker, bench, **sent).status_code == 302
    assert Block.objects.count() == 2


def test_all_that_the_panel_takes_are_added_with_one_press(maker, bench):
    response = add(maker, bench, **act(many="3"))
    assert response["Location"] == of(bench, "B")
    assert [block.letter for block in Block.objects.order_by("position")] == ["A", "B", "C", "D"]
    said = words_of(maker.get(response["Location"]))
    assert "Block B to Block D are there, each with 18 steps and its lines on the shelf list." in said


def test_where_the_letters_end_none_of_several_is_added(maker, bench):
    Block.objects.update(position=24)
    assert "A project has 26 blocks at most." in words_of(add(maker, bench, **act(many="2")))
    assert Block.objects.count() == 1


@pytest.mark.parametrize("many", ["0", "-2", "27", "many", "1.5"])
def test_a_number_of_blocks_that_is_none_gets_a_sentence(maker, bench, many):
    response = add(maker, bench, **act(many=many))
    assert response.status_code == 422
    assert "From 1 to 26 blocks can be added at once." in words_of(response)
    assert Block.objects.count() == 1


def test_what_is_refused_is_said_on_the_projects_page(maker, bench):
    Block.objects.update(position=25)
    response = add(maker, bench)
    assert response.status_code == 422
    assert "A project has 26 blocks at most." in words_of(response)


def test_a_viewer_adds_none(signed_in, bench):
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    assert add(signed_in(viewer), bench).status_code == 403
    assert Block.objects.count() == 1


@pytest.mark.parametrize("letter", ["C", "b", "AA", "1"])
def test_a_letter_without_a_block_is_no_page(maker, bench, letter):
    add(maker, bench)
    assert maker.get(of(bench, letter)).status_code == 404


def test_each_block_keeps_its_own_figures(maker, bench):
    add(maker, bench)
    fields = typed_in(maker.get(of(bench, "B")))
    maker.post(of(bench, "B"), {**fields, **act(), "strips": "18"})
    assert list(Block.objects.order_by("position").values_list("strips", flat=True)) == [50, 18]


def test_one_finds_from_block_to_block(maker, bench):
    add(maker, bench)
    page = maker.get(of(bench, "B")).content.decode()
    assert at("block", bench.shop, bench.project.key) in page
    assert f'href="{of(bench, "B")}" aria-current="page"' in page


def test_a_single_block_needs_no_way_to_another(maker, bench):
    page = maker.get(at("block", bench.shop, bench.project.key)).content.decode()
    assert "Blocks of this piece" not in page


@pytest.mark.parametrize("name", ["block", "panel", "shelf-list", "sheets"])
def test_where_the_panel_takes_more_blocks_the_page_adds_one(maker, bench, name):
    design(bench.member, bench.project)
    page = maker.get(at(name, bench.shop, bench.project.key))
    assert "The panel takes 3 blocks more than the project has" in words_of(page)
    if name == "block":  # there it is an act of its form
        assert "Keep it and add all 3, each sized by the panel" in words_of(page)
    else:
        assert at("block-add", bench.shop, bench.project.key) in page.content.decode()
        assert "Add all 3, each sized by the panel" in words_of(page)


def test_who_may_only_look_is_offered_no_act(signed_in, bench):
    design(bench.member, bench.project)
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    page = signed_in(viewer).get(at("block", bench.shop, bench.project.key)).content.decode()
    assert at("block-add", bench.shop, bench.project.key) not in page
    assert "Keep it and add" not in page


def test_without_a_panel_nobody_is_told_of_more_blocks(maker, bench):
    page = maker.get(at("block", bench.shop, bench.project.key))
    assert "more blocks wanted" not in words_of(page)


def test_the_page_of_a_block_proposes_the_strips_of_its_own_cast(maker, bench):
    """Three blocks of 50 strips, the fourth of 18: nobody is told to make the fourth as wide."""
    design(bench.member, bench.project)
    for position in (1, 2, 3):
        BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=position)
    assert "Take over 18 strips" in words_of(maker.get(of(bench, "D")))
    assert "Take over 50 strips" in words_of(maker.get(of(bench, "B")))


def kept(client, where, **typed):
    fields = typed_in(client.get(where))
    return client.post(where, {**fields, **act(), **typed})


def sizes():
    return list(Block.objects.order_by("position").values_list("strips", "length_mm", "finished_mm"))


def test_what_is_typed_is_kept_before_the_others_are_added_each_in_its_own_size(maker, bench):
    design(bench.member, bench.project)
    page = maker.get(of(bench, "A"))
    typed = {**typed_in(maker.get(of(bench, "A") + page.context["take_over"])), **act(), "many": "3"}
    response = maker.post(of(bench, "A"), typed)
    assert response["Location"] == of(bench, "B")
    assert sizes() == [(50, 569, 10)] * 3 + [(18, 569, 10)]
    said = words_of(maker.get(response["Location"]))
    assert "Block A is kept." in said
    assert "Block B to Block D are there" in said


def test_what_is_typed_and_no_figure_adds_nothing_and_stays(maker, bench):
    design(bench.member, bench.project)
    response = kept(maker, of(bench, "A"), length_mm="long", many="3")
    assert response.status_code == 422
    assert typed_in(response)["length_mm"] == "long"
    assert Block.objects.count() == 1


@pytest.mark.parametrize("many", ["0", "27", "all"])
def test_with_a_number_that_is_none_nothing_is_kept(maker, bench, many):
    response = kept(maker, of(bench, "A"), length_mm="570 mm", many=many)
    assert response.status_code == 422
    assert "From 1 to 26 blocks can be added at once." in words_of(response)
    assert sizes() == [(50, 600, 10)]


def test_where_the_letters_end_the_block_is_not_kept_either_and_the_typing_stays(maker, bench):
    Block.objects.update(position=25)
    response = kept(maker, of(bench, "Z"), length_mm="570 mm", many="1")
    assert response.status_code == 422
    assert "A project has 26 blocks at most." in words_of(response)
    assert typed_in(response)["length_mm"] == "570 mm"
    assert sizes() == [(50, 600, 10)]


def test_after_a_kept_block_the_next_that_differs_from_its_plan_opens(maker, bench):
    design(bench.member, bench.project)
    add(maker, bench, **act(many="3"))
    Block.objects.filter(position__in=[0, 3]).update(length_mm=700)
    response = kept(maker, of(bench, "A"), length_mm="569 mm")
    assert response["Location"] == of(bench, "D")
    said = words_of(maker.get(response["Location"]))
    assert "Block A is kept." in said
    assert "Block D still differs from the panel’s plan." in said


def test_where_no_other_block_differs_the_cuts_are_opened(maker, bench):
    design(bench.member, bench.project)
    add(maker, bench, **act(many="3"))
    response = kept(maker, of(bench, "A"), length_mm="580 mm")
    assert response["Location"] == at("cuts", bench.shop, bench.project.key)
    said = words_of(maker.get(response["Location"]))
    assert "Block A is kept." in said
    assert "The panel takes it as 50 strips of 569 mm." in said


def test_what_is_taken_over_is_said_not_to_be_kept_yet(maker, bench):
    design(bench.member, bench.project)
    page = maker.get(of(bench, "A"))
    assert "not kept yet" not in words_of(page)
    assert "not kept yet" in words_of(maker.get(of(bench, "A") + page.context["take_over"]))


# --- sheets ---


def test_a_sheet_is_of_the_block_that_is_chosen(maker, bench, monkeypatch):
    monkeypatch.setattr("projects.sheets.keep_pdf", lambda sheet: None)
    add(maker, bench)
    where = at("sheets", bench.shop, bench.project.key)
    assert maker.post(where, act(paper="a4", letter="B")).status_code == 302
    assert Sheet.objects.get().snapshot["block"]["name"] == "Block B"


def test_of_a_single_block_nobody_is_asked_which(maker, bench):
    assert "Of which block" not in words_of(maker.get(at("sheets", bench.shop, bench.project.key)))


def test_the_code_on_a_later_blocks_sheet_opens_that_block(maker, bench, monkeypatch):
    monkeypatch.setattr("projects.sheets.keep_pdf", lambda sheet: None)
    BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=1)
    maker.post(at("sheets", bench.shop, bench.project.key), act(paper="a4", letter="B"))
    assert Sheet.objects.get().snapshot["address"].endswith(of(bench, "B"))


@pytest.mark.parametrize("name", ["mix", "starts"])
def test_where_a_resin_is_missing_the_bench_leads_to_the_steps_own_block(maker, bench, name):
    b = BlockFactory(shop=bench.shop, project=bench.project, resin=None, position=1)
    step = StepFactory(shop=bench.shop, block=b, position=1)
    assert f'href="{of(bench, "B")}"' in maker.get(at(name, bench.shop, step.key)).content.decode()
