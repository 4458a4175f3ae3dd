"""Which of several stretches of time lie below each other, and where a long bar's name finds room."""

from collections.abc import Sequence

from workshop.drawing.svg import text_width

GAP = 10.0


def lanes(spans: Sequence[tuple[float, float]]) -> list[int]:
    """For each stretch the first lane, counted from 0, in which nothing else lies at that time.

    Parameters: spans, pairs of start and end, in any unit.
    Returns: lanes in the order of the spans.

    >>> lanes([(0, 2), (1, 3), (2, 4)])
    [0, 1, 0]
    """
    free: list[float] = []
    found = [0] * len(spans)
    for index in sorted(range(len(spans)), key=lambda each: (spans[each], each)):
        start, end = spans[index]
        lane = next((n for n, until in enumerate(free) if until <= start + 1e-9), len(free))
        if lane == len(free):
            free.append(end)
        free[lane] = end
        found[index] = lane
    return found


def placed_name(
    name: str, left: float, right: float, wanted: float, least: float, most: float
) -> tuple[str, float] | None:
    """Where the name of a bar stands: on it, else beside it; none where there is no room at all.

    Parameters: name; left and right of the bar; wanted, where it stands best; least and most, the edges of
    the row.
    Returns: the name and the place of its first letter.

    >>> placed_name("cures", 100, 400, 200, 0, 500)
    ('cures', 200)
    >>> placed_name("cures", 100, 110, 200, 0, 500)
    ('cures', 120.0)
    """
    width = text_width(name)
    if right - left >= width + 2 * GAP:
        return name, min(max(wanted, left + GAP), right - GAP - width)
    if right + GAP + width <= most:
        return name, right + GAP
    if left - GAP - width >= least:
        return name, left - GAP - width
    return None
