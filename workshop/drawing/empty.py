"""Empty places: the dashed outline of what is missing, on its board."""

from workshop.drawing.svg import element, fill, line, picture

WIDTH, HEIGHT, BOARD = 180, 60, 52

_STRIPS = "".join(f"M{x} 4v46" for x in range(26, 170, 16))
# every outline stands on the board, whose top is at 52
OUTLINES = {
    "block": f"M10 4h160v46H10z{_STRIPS}",
    "project": "M56 2h68v48H56zM70 12h40v28H70zM56 2l68 48M124 2L56 50",
    "bottle": "M80 8h20v6M84 14v4C84 25 70 24 70 32v18h40V32c0-8-14-7-14-14v-4M80 8v6h20M76 34h28v10H76z",
    "shelf": "M26 52V22q0-6 7-8V5h14v9q7 2 7 8v30M76 52V30q0-5 5-7v-8h12v8q5 2 5 7v22M122 52V40h46v12",
    "log": "M10 10h22M48 10h104M10 27h22M48 27h86M10 44h22M48 44h96",
    "sheet": "M64 2h40l12 12v36H64zM104 2v12h12M72 22h36M72 30h36M72 38h22",
    "clock": "M10 26h160v24H10zM37 26v24M64 26v24M91 26v24M118 26v24M145 26v24M112 8h10l-5 9z",
    # the block with a crack through it
    "failure": (
        "M10 4h66l-8 14 12 10-9 10 6 12H10zM92 4h78v46H93l-6-12 9-10-12-10z"
        "M26 4v46M42 4v46M58 4v46M106 4v46M122 4v46M138 4v46M154 4v46"
    ),
}


def empty_svg(kind: str) -> str:
    """The outline of the thing that is not there yet, as decoration beside the sentence that says so.

    Parameters: kind, one of OUTLINES.
    Returns: an SVG element, hidden from screen readers.
    Raises: ValueError, which lists the kinds there are.

    >>> empty_svg("bottle").count("stroke-dasharray")
    1
    """
    if kind not in OUTLINES:
        raise ValueError(f'no empty place is drawn for "{kind}"; known are: {", ".join(sorted(OUTLINES))}')
    outline = element("path", d=OUTLINES[kind], **line("edge", dashes="3 4"))
    board = element("rect", x=0, y=BOARD, width=WIDTH, height=6, **fill("wood"))
    return picture((WIDTH, HEIGHT), outline, board, class_="draw empty-place", width=WIDTH, height=HEIGHT)
