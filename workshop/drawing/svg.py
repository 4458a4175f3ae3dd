"""The small parts that every drawing is made of.

Colours: each part carries two. The presentation attribute is for paper, where no style sheet reaches
into a drawing; the class (`k-` fill, `l-` line, `o-` outline) lets the style sheet colour it for the
screen, by day and by night. There is never a `style` attribute: the content policy forbids it.
"""

import math
import re
from collections.abc import Iterable
from html import escape as escape_html

Value = str | float | None
Attributes = dict[str, Value]

# black ink on white, and what is resin a pale tone that leaves the strips readable
PAPER = {
    "ink": "#000",
    "ink2": "#333",
    "hair": "#bbb",
    "edge": "#444",
    "wood": "#000",
    "lam": "#3f281b",
    "strip": "#aaa",
    "resin": "#f6dca6",
    "glow": "#fff",
    "dark": "#8a4a17",
    "flame": "#000",
    "stop": "#000",
    "lit": "#fff",
    "paper": "#fff",
    "bench": "#eee",
    "past": "#ccc",
    "walnut": "#5b3b28",
    "maple": "#d9bd92",
    "pear": "#b57a56",
    "bogoak": "#35261e",
    "oak": "#84664a",
}
TEXT_FAMILY = "Next, Atkinson Hyperlegible Next, sans-serif"
FIGURE_FAMILY = "Figure, Bitter, serif"
TEXT_SIZE = 13
# the mean width of a letter as a share of its size, on the generous side: the lines of words in these
# drawings come to 0.37 to 0.46 in our face
LETTER_SHARE = 0.5

THIN_SPACE, MINUS = "\u2009", "\u2212"
FORBIDDEN = re.compile(r"^(style|on.*)$", re.IGNORECASE)
NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
PREFIX = re.compile(r"^[A-Za-z][A-Za-z0-9_-]*$")


def escape(text: str) -> str:
    """Text that may stand in a drawing: marked up, and without what XML can't hold.

    >>> escape('6 < 7 & "so"')
    '6 &lt; 7 &amp; &quot;so&quot;'
    """
    return escape_html(NOT_XML.sub("\ufffd", text), quote=True)


def number(value: float) -> str:
    """A coordinate in few letters; half a hundredth of a unit is nothing on any screen or paper.

    Raises: ValueError for what is no finite number.

    >>> number(12.0), number(1 / 3), number(-0.0001)
    ('12', '0.33', '0')
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is no place in a drawing")
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short


def figure(value: float, decimals: int | None = None) -> str:
    """A figure to be read: no needless decimals, a real minus sign, thin spaces from 10 000 up.

    Parameters: value; decimals at most, by default two below 100 and one from there.

    >>> figure(222.0), figure(198.27), figure(0.25), figure(12500) == f"12{THIN_SPACE}500"
    ('222', '198.3', '0.25', True)
    """
    if decimals is None:
        decimals = 2 if abs(value) < 100 else 1
    short = f"{value:,.{decimals}f}"
    if "." in short:
        short = short.rstrip("0").rstrip(".")
    grouped = abs(value) >= 10_000
    short = short.replace(",", THIN_SPACE if grouped else "")
    return "0" if short == "-0" else short.replace("-", MINUS)


def element(tag: str, *children: str, **attributes: Value) -> str:
    """One element; `stroke_width` becomes stroke-width, `class_` class, None is left out.

    Raises: ValueError for a `style` or an event handler.

    >>> element("rect", x=0, width=12.5, class_="k-lit")
    '<rect x="0" width="12.5" class="k-lit"/>'
    """
    written = "".join(_attribute(name, value) for name, value in attributes.items() if value is not None)
    inside = "".join(children)
    return f"<{tag}{written}>{inside}</{tag}>" if inside else f"<{tag}{written}/>"


def fill(ink: str, outline: str | None = None, width: float | None = None, also: str = "") -> Attributes:
    """How a filled shape is coloured.

    Parameters: ink and outline, names of PAPER; width, of the outline; also, further classes.

    >>> element("rect", **fill("lit", outline="wood"))
    '<rect class="k-lit o-wood" fill="#fff" stroke="#000"/>'
    """
    classes = [f"k-{ink}", *([f"o-{outline}"] if outline else []), *([also] if also else [])]
    coloured: Attributes = {"class_": " ".join(classes), "fill": PAPER[ink]}
    if outline:
        coloured |= {"stroke": PAPER[outline], "stroke_width": width}
    return coloured


def line(ink: str, width: float = 1, dashes: str | None = None, also: str = "") -> Attributes:
    """How a line is coloured.

    Parameters: ink, a name of PAPER; width; dashes, as a dash array; also, further classes.

    >>> element("path", d="M0 0h9", **line("edge", dashes="3 4"))
    '<path d="M0 0h9" class="l-edge" stroke="#444" stroke-width="1" stroke-dasharray="3 4" fill="none"/>'
    """
    return {
        "class_": f"l-{ink} {also}".strip(),
        "stroke": PAPER[ink],
        "stroke_width": width,
        "stroke_dasharray": dashes,
        "fill": "none",
    }


def words(x: Value, y: Value, *runs: str, anchor: str | None = None, quiet: bool = False) -> str:
    """A line of text; its runs are plain strings already escaped or made by `strong`.

    Parameters: x and y, of its base line; runs; anchor, "middle" or "end"; quiet, in the second ink.

    >>> words(0, 14, "at ", strong("18")).endswith(' font-weight="700">18</tspan></text>')
    True
    """
    return element(
        "text",
        *runs,
        x=x,
        y=y,
        text_anchor=anchor,
        font_family=TEXT_FAMILY,
        font_size=TEXT_SIZE,
        class_="q" if quiet else None,
        fill=PAPER["ink2" if quiet else "ink"],
    )


def strong(text: str) -> str:
    """A figure inside a line of text, in the figures' face and bold.

    >>> strong("18").endswith(">18</tspan>")
    True
    """
    return element("tspan", escape(text), class_="fg b", font_family=FIGURE_FAMILY, font_weight=700)


def text_width(text: str, size: float = TEXT_SIZE) -> float:
    """About how wide a line of text comes out; on the generous side.

    >>> text_width("18 poured")
    58.5
    """
    return len(text) * size * LETTER_SHARE


def rectangles(boxes: Iterable[tuple[float, float, float, float]]) -> str:
    """The path of many rectangles (x, y, width, height): one element where there would be hundreds.

    >>> rectangles([(0, 0, 4, 9), (8, 0, 4, 9)])
    'M0 0h4v9h-4zM8 0h4v9h-4z'
    """
    return "".join(
        f"M{number(x)} {number(y)}h{number(width)}v{number(height)}h{number(-width)}z"
        for x, y, width, height in boxes
    )


def hatch(x: float, y: float, width: float, height: float, step: float = 7) -> str:
    """The path of lines at 45 degrees inside a rectangle; drawn as lines, since tiles show seams on paper.

    Parameters: x, y, width and height of the rectangle; step, between lines measured across them.

    >>> hatch(0, 0, 10, 10, step=7.0711)
    'M0 10L10 0'
    """
    apart = step * math.sqrt(2)
    # each line is the set of points whose x + y, counted from the corner, is one sum
    count = int((width + height) / apart + 1e-9)
    parts = []
    for sum_ in (apart * n for n in range(1, count + 1)):
        left, right = max(0.0, sum_ - height), min(width, sum_)
        if right - left > 0.01:
            start = f"M{number(x + left)} {number(y + sum_ - left)}"
            parts.append(f"{start}L{number(x + right)} {number(y + sum_ - right)}")
    return "".join(parts)


def named(prefix: str, name: str) -> str:
    """An id for a part of a drawing, unique as long as the prefix is unique on the page.

    Raises: ValueError for a prefix that can't begin an id.

    >>> named("lot-7", "clip")
    'lot-7-clip'
    """
    if not PREFIX.match(prefix):
        raise ValueError(f'"{prefix}" can\'t begin an id')
    return f"{prefix}-{name}"


def picture(view: tuple[float, float], *children: str, sentence: str = "", **attributes: Value) -> str:
    """A whole drawing with its own measure.

    Parameters: view, width and height of its view box; children; sentence, what the drawing says in words
    (without one it is decoration, and hidden from screen readers); attributes, further ones of the root.

    >>> picture((9, 9), sentence="A strip.").split("viewBox")[1]
    '="0 0 9 9" role="img" aria-label="A strip."/>'
    """
    box = f"0 0 {number(view[0])} {number(view[1])}"
    return _root(*children, sentence=sentence, viewBox=box, **attributes)


def band(height: float, *children: str, sentence: str = "", **attributes: Value) -> str:
    """A drawing as wide as its place, whose parts are placed in percent: nothing in it is ever stretched.

    Parameters: height, in px; the others as for picture.

    >>> band(34).split("width")[1]
    '="100%" height="34" aria-hidden="true"/>'
    """
    return _root(*children, sentence=sentence, width="100%", height=height, **attributes)


def _root(*children: str, sentence: str, **attributes: Value) -> str:
    spoken: Attributes = {"role": "img", "aria_label": sentence} if sentence else {"aria_hidden": "true"}
    namespace = "http://www.w3.org/2000/svg"
    return element("svg", *children, **{"xmlns": namespace, "class_": "draw"} | attributes | spoken)


def _attribute(name: str, value: str | float) -> str:
    if FORBIDDEN.match(name):
        raise ValueError(f'a drawing has no "{name}": the content policy forbids it')
    written = escape(value) if isinstance(value, str) else number(value)
    return f' {name.rstrip("_").replace("_", "-")}="{written}"'
