"""A bottle on the shelf, filled to what is on hand."""

from typing import Literal

from workshop.drawing.svg import TEXT_FAMILY, element, fill, line, named, picture

Part = Literal["A", "B"]
FLOOR = 150
SCALE = 1.18
# the smallest and the largest pack that the shelf tells apart, in g, and how they are drawn
SMALL_G, LARGE_G = 400, 5000
NARROW, WIDE = 46, 78


def bottle_svg(
    part: Part,
    filled: float,
    prefix: str,
    *,
    pack_g: float = 1000,
    darkened: bool = False,
    sentence: str = "",
) -> str:
    """A bottle of resin: part A amber, part B pale, an aged one brown.

    Parameters: part; filled, the share on hand of what came in, 0 to 1; prefix, unique on the page, for
    the id inside; pack_g, what it held new, from which it gets its size between that of a small and of a
    large bottle; darkened, for a part that has aged; sentence, for screen readers (without one the
    drawing is hidden from them, for a shelf whose tickets say it all).
    Returns: an SVG element.
    Raises: ValueError for a share outside 0 to 1, a pack without mass or a prefix that can't begin an id.

    >>> 'class="k-resin"' in bottle_svg("A", 0.5, prefix="lot-1")
    True
    """
    if not 0 <= filled <= 1:
        raise ValueError("a bottle is filled from nothing to whole")
    if pack_g <= 0:
        raise ValueError("a pack has a mass")
    width, shoulder = _size(pack_g)
    outline, clip = _outline(width, shoulder), named(prefix, "clip")
    height = (FLOOR - shoulder) * filled
    liquid = "dark" if darkened else "resin" if part == "A" else "glow"
    parts = [
        element("clipPath", element("path", d=outline), id=clip),
        element("path", d=outline, **fill("lit")),
        _liquid(width, height, liquid, clip),
        element("path", d=outline, **line("wood", 1.6)),
        _cap(width, shoulder),
        _label(width, shoulder, part),
    ]
    return picture(
        (width, FLOOR),
        *parts,
        sentence=sentence,
        width=round(width * SCALE),
        height=round(FLOOR * SCALE),
        class_="lotdraw",
        overflow="visible",
    )


def _size(pack_g: float) -> tuple[float, float]:
    """Width of the body, and how far down its neck begins; volume goes with the cube of both."""
    span = LARGE_G ** (1 / 3) - SMALL_G ** (1 / 3)
    share = min(1.0, max(0.0, (pack_g ** (1 / 3) - SMALL_G ** (1 / 3)) / span))
    width = NARROW + (WIDE - NARROW) * share
    return width, FLOOR - 84 - 46 * share


def _outline(width: float, neck: float) -> str:
    left, right = 0.32 * width, 0.68 * width
    shoulder = neck + 0.4 * width
    return (
        f"M{left:.1f} {neck:.1f}v6"
        f"C{left:.1f} {shoulder - 12:.1f} 0 {shoulder - 14:.1f} 0 {shoulder:.1f}V{FLOOR}"
        f"H{width:.1f}V{shoulder:.1f}"
        f"C{width:.1f} {shoulder - 14:.1f} {right:.1f} {shoulder - 12:.1f} {right:.1f} {neck + 6:.1f}v-6z"
    )


def _liquid(width: float, height: float, ink: str, clip: str) -> str:
    box = element("rect", x=0, y=FLOOR - height, width=width, height=height, **fill(ink))
    return element("g", box, clip_path=f"url(#{clip})")


def _cap(width: float, neck: float) -> str:
    return element("rect", x=0.32 * width - 2, y=neck - 8, width=0.36 * width + 4, height=10, **fill("wood"))


def _label(width: float, neck: float, part: Part) -> str:
    high, wide = (FLOOR - neck) * 0.25, width * 0.68
    top = FLOOR - high * 1.75
    box = element("rect", x=(width - wide) / 2, y=top, width=wide, height=high, **fill("paper", "wood"))
    letter = element(
        "text",
        part,
        x=width / 2,
        y=top + high / 2 + 5,
        text_anchor="middle",
        class_="lt",
        font_family=TEXT_FAMILY,
        font_size=15,
    )
    return box + letter
