"""The shared parts of pages: what they say, and that a screen reader finds it."""

import re

import pytest
from django import forms
from django.contrib.messages import constants
from django.contrib.messages.storage.base import Message
from django.core.paginator import Paginator
from django.template.loader import render_to_string
from django.test import RequestFactory

STATES = {
    "clear": "clear",
    "caution": "caution",
    "stop": "stop",
    "running": "running",
    "waiting": "waiting",
    "low": "low",
    "ageing": "ageing",
    "past": "past its date",
}


class PartForm(forms.Form):
    """A field of each shape."""

    gap = forms.CharField(label="Gap", help_text="As the rule shows it.")
    note = forms.CharField(label="Note", required=False, widget=forms.Textarea)
    paper = forms.ChoiceField(
        label="Paper", choices=[("a4", "A4"), ("letter", "Letter")], widget=forms.RadioSelect
    )
    checks = forms.MultipleChoiceField(
        label="Before the cup",
        choices=[("tape", "taped"), ("level", "level")],
        widget=forms.CheckboxSelectMultiple,
    )
    hard = forms.BooleanField(label="It is hard")
    photo = forms.FileField(label="Photo", required=False)


def part(name, **context):
    """One part as HTML."""
    return render_to_string(f"_{name}.html", context)


def text_of(html):
    """What a reader sees of it, in one line."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def ids_of(html):
    """All ids in it."""
    return re.findall(r'\bid="([^"]+)"', html)


@pytest.mark.parametrize(("kind", "word"), STATES.items())
def test_state_says_its_word(kind, word):
    assert text_of(part("state", kind=kind)) == word


def test_states_differ_in_silhouette():
    # low and ageing share the caution's colour, past shares the stop's: the shape tells them apart
    shapes = {kind: re.search(r"<svg.*</svg>", part("state", kind=kind)).group() for kind in STATES}
    assert len(set(shapes.values())) == len(STATES)


def test_state_takes_another_word():
    assert text_of(part("state", kind="stop", word="not saved")) == "not saved"


def test_figure_puts_its_unit_behind():
    html = part("figure", figure="64", unit="°C", size="l")
    assert html.strip() == '<span class="fig l">64<u>°C</u></span>'


def test_field_names_its_input():
    html = part("field", field=PartForm()["gap"])
    assert '<label for="id_gap">' in html
    assert 'id="id_gap"' in html


def test_field_says_the_unit_a_bare_number_is_read_in():
    html = part("field", field=PartForm()["gap"], unit="mm")
    assert text_of(re.search(r"<label.*?</label>", html).group()) == "Gap , mm"


def test_field_echoes_what_was_understood():
    html = part("field", field=PartForm()["gap"], echo="2 mm")
    assert '<output class="echo" id="id_gap_echo" for="id_gap">understood 2 mm</output>' in html


def test_field_says_a_note_as_it_stands():
    html = part("field", field=PartForm()["gap"], echo="2 mm", note="half the panel is light")
    assert "understood" not in html
    assert "half the panel is light" in html


@pytest.mark.parametrize("name", list(PartForm.base_fields))
def test_wrong_field_says_so_and_points_to_the_sentence(name):
    form = PartForm({"gap": "x"})
    form.add_error(name, "That can’t be.")
    html = part("field", field=form[name])
    pointed = {key for keys in re.findall(r'aria-describedby="([^"]+)"', html) for key in keys.split()}
    around = re.search(rf'id="(id_{name}_says)".*?That can’t be\.', html, re.DOTALL)
    assert "bad" in html
    assert around
    assert pointed & {f"id_{name}_says", f"id_{name}_error"}


@pytest.mark.parametrize("name", list(PartForm.base_fields))
def test_field_points_only_at_what_is_there(name):
    form = PartForm({})
    html = part("field", field=form[name])
    pointed = {key for keys in re.findall(r'aria-describedby="([^"]+)"', html) for key in keys.split()}
    assert pointed <= set(ids_of(html))


def test_wrong_field_keeps_what_was_typed():
    form = PartForm({"gap": "0,02 mm"})
    form.add_error("gap", "Too little.")
    assert 'value="0,02 mm"' in part("field", field=form["gap"])


def test_field_that_may_stay_empty_says_so():
    assert "optional" in text_of(part("field", field=PartForm()["note"]))
    assert "optional" not in text_of(part("field", field=PartForm()["gap"]))


def test_pick_draws_a_button_for_each_radio():
    html = part("field", field=PartForm()["paper"])
    assert html.count('type="radio"') == 2
    assert text_of(re.search(r"<legend>.*?</legend>", html).group()) == "Paper"


def test_wrong_sentence_is_escaped():
    form = PartForm({})
    form.add_error("gap", "<b>no</b>")
    assert "<b>no</b>" not in part("field", field=form["gap"])


def test_fault_says_what_happened_and_the_way_on():
    html = part("fault", what="The last 40 g went.", then="Count it.", url="/shelf/", deed="Choose a bottle")
    assert text_of(html) == "not saved The last 40 g went. Count it. Choose a bottle"


def test_form_errors_leave_a_slot_for_what_the_script_says():
    html = part("form_errors", form=PartForm())
    # nothing inside, not even a space: the style sheet hides an empty slot
    assert html.strip() == "<div data-fault></div>"


def test_form_errors_say_each_sentence_of_the_whole_form():
    form = PartForm({})
    form.add_error(None, "Another phone was first.")
    assert "Another phone was first." in text_of(part("form_errors", form=form))


def test_empty_place_has_no_button_without_a_way():
    assert "<a" not in part("empty", title="No sheet yet", sentence="Two pages.", url="")


@pytest.mark.parametrize(
    ("level", "said"),
    [
        (constants.SUCCESS, "done It stands."),
        (constants.WARNING, "care It stands."),
        (constants.ERROR, "not done It stands."),
        (constants.INFO, "It stands."),
    ],
)
def test_message_leads_with_the_word_of_its_level(level, said):
    assert text_of(part("messages", messages=[Message(level, "It stands.")])) == said


def test_pages_name_their_neighbours():
    pages = Paginator(range(30), 10)
    request = RequestFactory().get("/log/?q=walnut")
    html = render_to_string("_pages.html", {"page": pages.page(2)}, request=request)
    assert text_of(html) == "Newer page 2 of 3 Older"
    assert "?q=walnut&amp;page=3" in html


def test_single_page_needs_no_pages():
    assert part("pages", page=Paginator(range(5), 10).page(1)).strip() == ""


@pytest.mark.parametrize("page", ["403", "404", "500", "csrf"])
def test_error_page_needs_nothing_and_leads_on(page):
    html = render_to_string(f"{page}.html")
    assert "data-refused" in html
    assert '<a class="btn' in html


def test_page_of_a_broken_program_asks_nobody_who_is_signed_in():
    # the database may be what broke
    class Nobody:
        @property
        def pk(self):
            raise AssertionError("asked")

    assert "Clocks that run keep running" in render_to_string("500.html", {"user": Nobody()})
