"""What no template may hold: whatever the content policy would silently switch off."""

import base64
import hashlib
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import get_template

ROOT = Path(settings.BASE_DIR)
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
STATIC = ROOT / "static"
SCRIPTS = sorted((STATIC / "script").glob("*.js"))
STYLES = sorted((STATIC / "style").glob("*.css"))

FORBIDDEN = {
    "hx-on, which the policy blocks": r"\bhx-on\b|\bhx-on:",
    "js: values, which the policy blocks": r"\bjs:|javascript:",
    "a filter in hx-trigger, which fires as if it were absent": r"hx-trigger=\"[^\"]*\[|hx-trigger='[^']*\[",
    "a style attribute": r"\sstyle\s*=",
    "a style element": r"<style\b",
    "an event handler": r"\son[a-z]+\s*=\s*[\"']",
    "a script without src": r"<script(?![^>]*\bsrc=)",
    "a file from elsewhere": r"(?:src|href|action|hx-[a-z]+)\s*=\s*[\"'](?:https?:)?//",
}


def name_of(path):
    """A path as it is said in the project."""
    return str(path.relative_to(ROOT))


def without_comments(text):
    """A template's text, its comments left out."""
    return re.sub(r"{% comment %}.*?{% endcomment %}|{#.*?#}", "", text, flags=re.DOTALL)


@pytest.mark.parametrize("path", TEMPLATES, ids=name_of)
def test_template_compiles(path):
    assert get_template(str(path.relative_to(ROOT / "templates"))).template.nodelist is not None


@pytest.mark.parametrize("path", TEMPLATES, ids=name_of)
def test_template_holds_nothing_that_the_policy_switches_off(path):
    text = without_comments(path.read_text(encoding="utf-8"))
    assert [why for why, pattern in FORBIDDEN.items() if re.search(pattern, text)] == []


@pytest.mark.parametrize(
    ("why", "sample"),
    [
        ("hx-on, which the policy blocks", '<p hx-on:click="x()">'),
        ("js: values, which the policy blocks", '<p hx-vals="js:{a: 1}">'),
        ("a filter in hx-trigger, which fires as if it were absent", '<p hx-trigger="click[ctrlKey]">'),
        ("a style attribute", '<p style="color: red">'),
        ("a style element", "<style>p {}</style>"),
        ("an event handler", '<p onclick="x()">'),
        ("a script without src", "<script>x()</script>"),
        ("a file from elsewhere", '<img src="https://example.org/a.png">'),
    ],
)
def test_search_finds_what_is_forbidden(why, sample):
    assert [found for found, pattern in FORBIDDEN.items() if re.search(pattern, sample)] == [why]


@pytest.mark.parametrize("path", TEMPLATES, ids=name_of)
def test_template_does_not_print_its_own_block_for_a_row(path):
    """Inside `{% block … %}` the name `block` is that very block, whatever the view calls so."""
    text = without_comments(path.read_text(encoding="utf-8"))
    shadowed = re.search(r"{% for block in | with block=|block=", text)
    printed = re.findall(r"{{\s*block\b(?!\.super)", text) if "{% extends" in text and not shadowed else []
    assert printed == []


def test_page_script_is_the_only_module_that_pages_link():
    linked = re.findall(r'<script type="module" src="([^"]+)"', get_template_text("base.html"))
    assert linked == ["{% static 'script/page.js' %}"]


def test_htmx_neither_evaluates_text_nor_writes_styles():
    found = re.search(r"name=\"htmx-config\" content='([^']+)'", get_template_text("base.html")).group(1)
    assert '"allowEval":false' in found
    assert '"includeIndicatorStyles":false' in found
    assert '"selfRequestsOnly":true' in found


def test_every_style_sheet_of_the_screen_is_linked():
    linked = set(re.findall(r"'style/([a-z]+\.css)'", get_template_text("base.html")))
    assert linked == {path.name for path in STYLES} - {"paper.css"}


@pytest.mark.parametrize("path", SCRIPTS + STYLES, ids=name_of)
def test_own_asset_asks_nobody_else(path):
    assert re.findall(r"https?://|['\"(]//", path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", SCRIPTS, ids=name_of)
def test_script_imports_only_what_is_there(path):
    imported = re.findall(r'from "\./([a-z]+\.js)"', path.read_text(encoding="utf-8"))
    assert [name for name in imported if not (path.parent / name).exists()] == []


@pytest.mark.parametrize("path", STYLES, ids=name_of)
def test_style_sheet_uses_only_tokens_that_are_defined(path):
    sheets = "".join(sheet.read_text(encoding="utf-8") for sheet in STYLES)
    defined = set(re.findall(r"(--[a-z0-9-]+)\s*:", sheets))
    used = set(re.findall(r"var\((--[a-z0-9-]+)", path.read_text(encoding="utf-8")))
    assert used - defined == set()


def test_what_is_not_ours_is_as_its_makers_released_it():
    lines = (STATIC / "vendor" / "VENDOR.md").read_text(encoding="utf-8").splitlines()
    rows = [re.findall(r"`([^`]+)`", line) for line in lines if line.startswith("| `")]
    said = {row[0]: row[-1] for row in rows}
    found = {
        str(path.relative_to(STATIC)): base64.b64encode(hashlib.sha384(path.read_bytes()).digest()).decode()
        for path in [*STATIC.glob("vendor/*/*.js"), *STATIC.glob("fonts/*.woff2")]
    }
    assert said == found


def get_template_text(name):
    """A template as it is written."""
    return (ROOT / "templates" / name).read_text(encoding="utf-8")
