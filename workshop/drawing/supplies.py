"""Tape, tins and paper on the shelf, in outline."""

from workshop.drawing.svg import TEXT_FAMILY, Attributes, element, escape, fill, line, named, picture

FLOOR, SCALE = 100, 1.18
CORE, FULL = 14.0, 30.0


def roll_svg(left: float, *, sentence: str = "") -> str:
    """A roll of tape, as thick as what is left of it; its bare core in dashes when it is gone.

    Parameters: left, the share that is left, 0 to 1; sentence, for screen readers (without one the
    drawing is hidden from them).
    Returns: an SVG element.
    Raises: ValueError for a share outside 0 to 1.

    >>> roll_svg(1.0).count("<circle"), roll_svg(0.0).count("<circle")
    (3, 1)
    """
    _share(left)
    # the tape's area goes with what is left of it
    outer = (CORE**2 + (FULL**2 - CORE**2) * left) ** 0.5
    middle = {"cx": FULL, "cy": FLOOR - outer - 0.8}
    if left == 0:
        return _drawing(2 * FULL, [element("circle", **middle, r=CORE, **line("edge", 1.6, "3 4"))], sentence)
    parts = [
        element("circle", **middle, r=outer, **fill("glow", "wood", 1.6)),
        element("circle", **middle, r=(outer + CORE) / 2, **line("wood")),
        element("circle", **middle, r=CORE, **fill("paper", "wood", 1.6)),
    ]
    return _drawing(2 * FULL, parts, sentence)


def tin_svg(left: float, prefix: str, *, sentence: str = "") -> str:
    """A tin with a label, filled to what is left.

    Parameters: left, the share that is left, 0 to 1; prefix, unique on the page, for the id inside;
    sentence, for screen readers.
    Returns: an SVG element.
    Raises: ValueError for a share outside 0 to 1 or a prefix that can't begin an id.

    >>> 'id="lot-3-clip"' in tin_svg(0.5, "lot-3")
    True
    """
    _share(left)
    clip, width, top = named(prefix, "clip"), 62.0, 20.0
    high = FLOOR - top
    body: Attributes = {"x": 0.8, "y": top, "width": width - 1.6, "height": high - 0.8}
    level = element("rect", x=0, y=FLOOR - high * left, width=width, height=high * left, **fill("glow"))
    parts = [
        element("clipPath", element("rect", **body), id=clip),
        element("rect", **body, **fill("lit")),
        element("g", level, clip_path=f"url(#{clip})"),
        element("rect", **body, **line("wood", 1.6)),
        element("rect", x=0, y=top - 4, width=width, height=8, **fill("wood")),
        element("rect", x=0.8, y=top + 26, width=width - 1.6, height=26, **fill("strip", "wood")),
    ]
    return _drawing(width, parts, sentence)


def paper_svg(left: float, grade: str, *, sentence: str = "") -> str:
    """A pile of abrasive sheets with the grade on the uppermost; fewer sheets the less is left.

    Parameters: left, the share that is left, 0 to 1; grade with its system, as it is read out; sentence,
    for screen readers.
    Returns: an SVG element.
    Raises: ValueError for a share outside 0 to 1.

    >>> paper_svg(1.0, "P240").count("<rect"), paper_svg(0.1, "P240").count("<rect")
    (5, 1)
    """
    _share(left)
    width, high = 74.0, 58.0
    sheets = max(1, round(5 * left))
    ink: Attributes = fill("strip", "wood", 1.4) if left else line("edge", 1.4, "3 4")
    parts = [
        element("rect", x=0.8, y=FLOOR - high - 0.8 - 4 * n, width=width - 1.6, height=high, **ink)
        for n in range(sheets)
    ]
    parts.append(
        element(
            "text",
            escape(grade),
            x=width / 2,
            y=FLOOR - high / 2 - 4 * (sheets - 1) + 4,
            text_anchor="middle",
            class_="lt tight",
            font_family=TEXT_FAMILY,
            font_size=12,
        )
    )
    return _drawing(width, parts, sentence)


def _share(left: float) -> None:
    if not 0 <= left <= 1:
        raise ValueError("what is left is a share, from nothing to whole")


def _drawing(width: float, parts: list[str], sentence: str) -> str:
    measure: Attributes = {"width": round(width * SCALE), "height": round(FLOOR * SCALE)}
    return picture((width, FLOOR), *parts, sentence=sentence, class_="lotdraw", overflow="visible", **measure)
