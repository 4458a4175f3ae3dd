import pytest
from hypothesis import given
from hypothesis import strategies as st

from projects import advice
from projects.forms.projects import BlockForm
from projects.models import Block
from projects.views import block as view
from tests.factories import Bench, BlockFactory, ResinFactory, SpeciesFactory
from tests.projects.pages import FRAGMENT, act, at, said_at, typed_in, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db

TYPED = {
    "strip_mm": "2 mm", "gap_mm": "2 mm", "finished_mm": "10 mm", "strips": "50", "length_mm": "600 mm",
    "species": "", "resin": "", "flatten_mm": "1 mm", "edge_mm": "3 mm", "rim_mm": "4 mm", "over_mm": "1 mm",
    "film_percent": "3 %", "soak_percent": "2 %",
}  # fmt: skip

# what is typed, and the sentence at its field
WRONG = [
    ("strip_mm", "0", "0 mm is too little: 0.2 mm or more."),
    ("strip_mm", "-2 mm", "−2 mm is too little: 0.2 mm or more."),
    ("strip_mm", "9999 m", "mm is too much: 50 mm or less."),
    ("strip_mm", "", "This field is required."),
    ("strip_mm", "thin", "“thin” is not understood. Write it like 2 mm or 1/16 in."),
    ("strip_mm", "1 2", "“1 2” holds two numbers."),
    ("strip_mm", "1/0 in", "Nothing can be divided by 0."),
    ("gap_mm", "2 kg", "“kg” is no unit for this."),
    ("gap_mm", "20 °C", "“°C” is no unit for this."),
    ("gap_mm", "0,2 mm", "0.3 mm or more, thinner ones resin does not run into."),
    ("finished_mm", "0", "More than 0 mm is needed."),
    ("finished_mm", "1 m", "1\u202f000 mm is too much: 300 mm or less."),
    ("strips", "1", "1 is too little: 2 or more."),
    ("strips", "2.5", "A whole number is needed."),
    ("strips", "50 mm", "“mm” is no unit for this."),
    ("strips", "1e9", "is no unit for this."),
    ("length_mm", "-600", "More than 0 mm is needed."),
    ("flatten_mm", "-1", "−1 mm is too little: 0 mm or more."),
    ("film_percent", "100 %", "100 % is too much: 50 % or less."),
    ("soak_percent", "2 mm", "“mm” is no unit for this."),
    ("resin", "999999", "Select a valid choice."),
    ("species", "walnut", "Select a valid choice."),
]


def page(bench):
    return at("block", bench.shop, bench.project.key)


def typed(bench, **changed):
    return {**TYPED, "resin": str(bench.resin.pk), **changed}


def figures_of(response):
    return response.context["figures"]


# --- the page ---


def test_the_page_shows_the_kept_block_in_its_fields(signed_in):
    bench = Bench()
    found = typed_in(signed_in(bench.member).get(page(bench)))
    assert {name: found[name] for name in TYPED} == typed(bench)


def test_the_page_shows_what_to_mix(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(page(bench)))
    # 953.6352 ml at 1.07245282 g/ml (worked in test_advice.py)
    assert "1 023 g Resin to mix" in words
    assert "A 705.3 g 629.8 ml B 317.4 g 323.9 ml" in words
    assert "all together 953.6 ml" in words


def test_a_shop_of_inches_sees_its_block_in_inches(signed_in):
    bench = Bench()
    bench.shop.units = "inch"
    bench.shop.save()
    response = signed_in(bench.member).get(page(bench))
    assert typed_in(response)["length_mm"] == "23.622 in"
    assert "36.08 oz Resin to mix" in words_of(response)  # 1022.73 g / 28.349523


def test_the_page_is_called_by_its_block_and_project(signed_in):
    bench = Bench()
    assert words_of(signed_in(bench.member).get(page(bench))).startswith(
        "Block A · Stair window · Grainglass"
    )


def test_each_block_has_a_draft_of_its_own(signed_in):
    bench = Bench()
    content = signed_in(bench.member).get(page(bench)).content.decode()
    assert f'data-draft="block-{bench.block.key}"' in content


def test_without_a_resin_the_page_says_how_to_see_masses(signed_in):
    bench = Bench()
    Block.objects.update(resin=None)
    assert "Choose a resin to see it in grams, A and B." in words_of(signed_in(bench.member).get(page(bench)))


def test_a_pour_deeper_than_the_sheet_is_called_deep(signed_in):
    bench = Bench(max_depth_mm=5)
    words = words_of(signed_in(bench.member).get(page(bench)))
    assert "is for 5 mm of neat resin; in this stack that allows 10 mm, and 12 mm are poured." in words


def test_a_gap_beyond_six_millimetres_asks_for_a_test_casting(signed_in):
    bench = Bench()
    Block.objects.update(gap_mm=6.5)
    assert "Make a test casting first." in words_of(signed_in(bench.member).get(page(bench)))


def test_the_first_block_of_a_project_is_shown(signed_in):
    bench = Bench()
    BlockFactory(shop=bench.shop, project=bench.project, position=1, strips=7)
    assert typed_in(signed_in(bench.member).get(page(bench)))["strips"] == "50"


# --- as one types ---


def test_a_keystroke_gets_the_fragment_alone(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench), typed(bench, strips="60"), **FRAGMENT)
    assert [template.name for template in response.templates][0] == "projects/_block_figures.html"
    assert b"<html" not in response.content


def test_a_keystroke_gets_the_figures_of_what_is_typed(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench), typed(bench, strips="60"), **FRAGMENT)
    values = {**advice.values_of(bench.block), "strips": 60}
    assert figures_of(response) == advice.block_figures(values, bench.resin)
    assert "238 mm Wide" in words_of(response)  # 60 * 2 + 59 * 2


def test_a_keystroke_stores_nothing(signed_in):
    bench = Bench()
    signed_in(bench.member).get(page(bench), typed(bench, strips="60"), **FRAGMENT)
    assert Block.objects.get(pk=bench.block.pk).strips == 50


def test_a_keystroke_echoes_what_was_understood(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench), typed(bench, gap_mm="1/16 in"), **FRAGMENT)
    assert "understood 1.59 mm" in words_of(response)


def test_a_keystroke_that_is_wrong_says_so_at_its_field(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench), typed(bench, gap_mm="2 kg"), **FRAGMENT)
    assert response.status_code == 200
    assert "“kg” is no unit for this." in said_at(response, "gap_mm")
    assert "Mend the marked figures, then the rest is computed again." in words_of(response)


def test_figures_that_make_no_block_are_explained_as_one_types(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench), typed(bench, finished_mm="0.001 mm"), **FRAGMENT)
    assert "depth is 0.001 mm, which is too low" in words_of(response)


def test_another_resin_is_computed_before_it_is_kept(signed_in):
    bench = Bench()
    other = ResinFactory(shop=bench.shop, parts_a=100, parts_b=100)
    response = signed_in(bench.member).get(page(bench), typed(bench, resin=str(other.pk)), **FRAGMENT)
    assert figures_of(response).mix.a_g == figures_of(response).mix.b_g


def test_without_a_script_the_address_with_figures_is_a_whole_page(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench), typed(bench, strips="60"))
    assert b"<html" in response.content
    assert typed_in(response)["strips"] == "60"
    assert figures_of(response).strips == 60


# --- keeping it ---


def test_a_kept_block_leads_to_its_steps(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(**typed(bench, strips="60")))
    assert (response.status_code, response["Location"]) == (302, at("steps", bench.shop, bench.project.key))
    assert Block.objects.get(pk=bench.block.pk).strips == 60


def test_a_kept_block_leads_a_script_to_its_steps(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(**typed(bench)), **FRAGMENT)
    assert response.status_code == 204
    assert response["HX-Redirect"] == at("steps", bench.shop, bench.project.key)


@pytest.mark.parametrize(
    ("said", "stored"),
    [("1,5", 1.5), ("1.5mm", 1.5), ("0,15 cm", 1.5), ("1/16 in", 1.5875), ('1/16"', 1.5875), (" 2 ", 2)],
)
def test_a_length_is_read_as_people_type_it(signed_in, said, stored):
    bench = Bench()
    signed_in(bench.member).post(page(bench), act(**typed(bench, gap_mm=said)))
    assert Block.objects.get(pk=bench.block.pk).gap_mm == pytest.approx(stored, abs=1e-12)


def test_a_bare_number_is_inches_in_a_shop_of_inches(signed_in):
    bench = Bench()
    bench.shop.units = "inch"
    bench.shop.save()
    signed_in(bench.member).post(page(bench), act(**typed(bench, gap_mm="1/16")))
    assert Block.objects.get(pk=bench.block.pk).gap_mm == 1.5875


def test_wood_and_resin_can_be_taken_away_again(signed_in):
    bench = Bench()
    Block.objects.update(species=SpeciesFactory(shop=bench.shop))
    signed_in(bench.member).post(page(bench), act(**typed(bench, resin="", species="")))
    block = Block.objects.get(pk=bench.block.pk)
    assert (block.resin, block.species) == (None, None)


@pytest.mark.parametrize(("field", "said", "sentence"), WRONG)
def test_what_is_wrong_is_said_at_its_field(signed_in, field, said, sentence):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(**typed(bench, **{field: said})))
    assert response.status_code == 422
    assert sentence in said_at(response, field).replace("\u00a0", " ")


@pytest.mark.parametrize("said", ["2 kg", "-2 mm", "thin", "9999 m", "0,2 mm"])
def test_what_was_typed_is_kept_when_something_is_wrong(signed_in, said):
    bench = Bench()
    sent = typed(bench, gap_mm=said, strips="61", length_mm="1/2 m")
    found = typed_in(signed_in(bench.member).post(page(bench), act(**sent)))
    assert {name: found[name] for name in sent} == sent


def test_nothing_is_stored_when_something_is_wrong(signed_in):
    bench = Bench()
    signed_in(bench.member).post(page(bench), act(**typed(bench, gap_mm="2 kg", strips="61")))
    assert Block.objects.get(pk=bench.block.pk).strips == 50


def test_the_fold_is_open_when_something_in_it_is_wrong(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    wrong = client.post(page(bench), act(**typed(bench, rim_mm="2 kg")))
    assert b'<details class="wide-field" open>' in wrong.content
    assert b'<details class="wide-field" open>' not in client.get(page(bench)).content


def test_figures_that_make_no_block_are_not_kept(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(**typed(bench, finished_mm="0.001 mm")))
    assert response.status_code == 422
    assert "depth is 0.001 mm, which is too low" in words_of(response)
    assert Block.objects.get(pk=bench.block.pk).finished_mm == 10


def test_a_resin_of_another_shop_is_no_choice(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(**typed(bench, resin=str(ResinFactory().pk))))
    assert response.status_code == 422
    assert "Select a valid choice." in said_at(response, "resin")


def test_a_block_sent_twice_is_kept_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed(bench, strips="60"))
    answers = [client.post(page(bench), sent) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert Event.objects.filter(target_key=bench.block.key, verb="changed").count() == 1


def test_the_same_act_with_other_figures_is_refused_with_a_sentence(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed(bench, strips="60"))
    client.post(page(bench), sent)
    response = client.post(page(bench), {**sent, "strips": "70"})
    assert response.status_code == 422
    assert "This was already sent, with other figures." in words_of(response)
    assert Block.objects.get(pk=bench.block.pk).strips == 60


# --- whatever the form lets through ---

limits = {
    name: (field.least or 0, field.most)
    for name, field in BlockForm.base_fields.items()
    if hasattr(field, "most")
}


@given(
    st.fixed_dictionaries(
        {
            name: st.integers(*limit)
            if name == "strips"
            else st.one_of(st.floats(*limit), st.sampled_from(limit))
            for name, limit in limits.items()
        }
    )
)
def test_whatever_the_form_lets_through_is_drawn_or_refused_with_a_sentence(values):
    figures, reason = advice.figures_or_reason(values, ResinFactory.build())
    if figures is None:
        assert reason
    else:
        assert all(svg.startswith("<svg") for svg in view.drawings(values, "metric").values())


def test_a_shop_of_inches_sees_its_block_drawn_in_inches(signed_in):
    bench = Bench()
    type(bench.shop).objects.update(units="inch")
    content = signed_in(bench.member).get(at("block", bench.shop, bench.project.key)).content.decode()
    assert "50 strips, 7.795 in wide" in content  # 198 mm
