"""The gauge that shows how far a cup is off its ratio."""

from collections.abc import Callable

from workshop.drawing.svg import MINUS, Attributes, band, element, figure, fill, line, words

Place = Callable[[float], str]
HEIGHT, TOP, BOTTOM = 48, 14, 28


def ratio_gauge(error_percent: float | None, tolerance_percent: float = 2, stop_percent: float = 5) -> str:
    """A scale from too little to too much part B, with the tolerance bracketed and the cup marked.

    Parameters: error_percent, of B for the A weighed, plus is too much B, None before B is weighed;
    tolerance_percent, where the brackets stand; stop_percent, where the scale ends. A cup beyond the
    scale is marked by an arrow that points off its end.
    Returns: an SVG element.
    Raises: ValueError unless the tolerance lies from nothing to the stop.

    >>> 'aria-label="B is 0.3 % over, within the 2 % allowed."' in ratio_gauge(0.34)
    True
    """
    if not (0 <= tolerance_percent <= stop_percent and stop_percent > 0):
        raise ValueError("the tolerance lies from nothing to the stop")

    def at(percent: float) -> str:
        return f"{round(50 + 50 * percent / stop_percent, 3):g}%"

    parts = [_scale(at, tolerance_percent), _labels(at, tolerance_percent)]
    if error_percent is not None:
        beyond = abs(error_percent) > stop_percent
        parts.append(_arrow(error_percent) if beyond else _marker(at(error_percent)))
    sentence = _sentence(error_percent, tolerance_percent)
    return band(HEIGHT, *parts, sentence=sentence, class_="draw ratio-gauge", overflow="visible")


def _sentence(error_percent: float | None, tolerance_percent: float) -> str:
    allowed = f"the {figure(tolerance_percent)} % allowed"
    if error_percent is None:
        return f"The scale of the ratio; B is not weighed yet, {allowed} either way."
    if figure(error_percent, 1) == "0":
        return f"B is right, within {allowed}."
    side = "over" if error_percent > 0 else "short"
    within = "within" if abs(error_percent) <= tolerance_percent + 1e-9 else "outside"
    return f"B is {figure(abs(error_percent), 1)} % {side}, {within} {allowed}."


def _scale(at: Place, tolerance_percent: float) -> str:
    low, high = at(-tolerance_percent), at(tolerance_percent)
    width = f"{float(high[:-1]) - float(low[:-1]):g}%"
    box: Attributes = {"y": TOP, "height": BOTTOM - TOP}
    parts = [
        element("rect", x=0, width="100%", **box, **fill("bench")),
        element("rect", x=low, width=width, **box, **fill("glow")),
        element("line", x1="50%", x2="50%", y1=TOP, y2=BOTTOM, **line("edge")),
    ]
    for end, inwards in ((low, 6), (high, -6)):
        bracket = element("path", d=f"M{inwards} {TOP - 5}H0V{BOTTOM + 5}H{inwards}", **line("ink", 2))
        parts.append(element("svg", bracket, x=end, overflow="visible"))
    return "".join(parts)


def _labels(at: Place, tolerance_percent: float) -> str:
    tolerance = figure(tolerance_percent)
    return "".join(
        [
            words(0, HEIGHT - 2, "less B", quiet=True),
            words(at(-tolerance_percent), HEIGHT - 2, f"{MINUS}{tolerance} %", anchor="middle", quiet=True),
            words(at(tolerance_percent), HEIGHT - 2, f"+{tolerance} %", anchor="middle", quiet=True),
            words("100%", HEIGHT - 2, "more B", anchor="end", quiet=True),
        ]
    )


def _marker(where: str) -> str:
    mark = element("path", d=f"M0 8l6-8h-12zM-1.3 8h2.6v{BOTTOM - 4}h-2.6z", **fill("ink"))
    return element("svg", mark, x=where, overflow="visible")


def _arrow(error_percent: float) -> str:
    """An arrow off the end of the scale: the cup is further out than it shows."""
    middle = (TOP + BOTTOM) / 2
    side, where = (1, "100%") if error_percent > 0 else (-1, "0%")
    shaft = f"M0 {middle}l{-10 * side}-8v6h{-14 * side}v4h{14 * side}v6z"
    return element("svg", element("path", d=shaft, **fill("stop")), x=where, overflow="visible")
