"""Drawings read back as XML, and what every one of them must keep to."""

import re
import xml.etree.ElementTree as ET  # noqa: S405  (reads only what our own drawings wrote)

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
TEXT_SHARE, LEAST_TEXT = 0.5, 12


def parsed(svg):
    """The root of a drawing, after the checks that hold for each: well formed, finite, within the policy."""
    root = ET.fromstring(svg)  # noqa: S314  (as above)
    for part in root.iter():
        for name, value in part.attrib.items():
            assert name != "style", "a style attribute breaks the content policy"
            assert not name.startswith("on"), "an event handler breaks the content policy"
            if name != "aria-label":  # words may hold any letters
                assert not re.search(r"\b(nan|inf)\b", value, re.IGNORECASE), f"{name} is {value}"
        if part.tag.endswith("text"):
            assert float(part.get("font-size")) >= LEAST_TEXT, "text below 12 units"
    ids = [part.get("id") for part in root.iter() if part.get("id")]
    assert len(ids) == len(set(ids)), "an id occurs twice"
    spoken = root.get("role") == "img" and root.get("aria-label")
    assert bool(spoken) != (root.get("aria-hidden") == "true"), "a drawing is either said or hidden"
    return root


def parts_of(root, class_name):
    """The parts of a drawing that carry a class."""
    return [part for part in root.iter() if class_name in part.get("class", "").split()]


def boxes_of(path):
    """The rectangles of a path that `rectangles` made, as (x, y, width, height)."""
    found = []
    for piece in path.split("z")[:-1]:
        x, y, width, height, back = (float(value) for value in NUMBER.findall(piece))
        assert back == -width
        found.append((x, y, width, height))
    return found


def texts_of(root):
    """Each line of text with the span it takes: (words, left, right)."""
    lines = []
    for part in root.iter():
        if part.tag.endswith("text"):
            said, x = "".join(part.itertext()), float(part.get("x"))
            wide = len(said) * float(part.get("font-size")) * TEXT_SHARE
            left = x - {"middle": wide / 2, "end": wide}.get(part.get("text-anchor"), 0)
            lines.append((said, left, left + wide))
    return lines
