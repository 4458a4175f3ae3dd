"""Where words lie clear of lines: boxes against curves, all in the units of a picture."""

from collections.abc import Iterable, Sequence

from workshop.drawing.svg import TEXT_SIZE

Point = tuple[float, float]
Box = tuple[float, float, float, float]
GAP, DESCENT = 3, 4  # what words keep free around them, and what hangs below their base line


def crosses(box: Box, line: Sequence[Point]) -> bool:
    """Whether a line of straight pieces touches a box.

    Parameters: box, as left, top, right, bottom; line, its corners in order.

    >>> crosses((0, 0, 10, 10), [(-5, 5), (15, 5)]), crosses((0, 0, 10, 10), [(-5, 12), (15, 12)])
    (True, False)
    """
    return any(_touches(box, *piece) for piece in zip(line, line[1:], strict=False))


def clear_words(
    lefts: Sequence[float], bases: Iterable[float], wide: float, lines: Sequence[Sequence[Point]]
) -> Point | None:
    """Where a line of text begins so that no line touches it; None where each place is touched.

    Parameters: lefts and bases, where it may begin and its base lines, the best in front, each base line with
    all lefts before the next; wide, as it comes out; lines, each its corners in order.

    >>> clear_words([10], [30, 60], 40, [[(0, 25), (100, 25)]])
    (10, 60)
    """
    places = ((left, base) for base in bases for left in lefts)
    return next(
        (place for place in places if not any(crosses(words_box(*place, wide), line) for line in lines)),
        None,
    )


def words_box(left: float, base: float, wide: float) -> Box:
    """The box of a line of text with what it keeps free around it.

    >>> words_box(10, 30, 40)
    (7, 14, 53, 37)
    """
    return left - GAP, base - TEXT_SIZE - GAP, left + wide + GAP, base + DESCENT + GAP


def _touches(box: Box, begin: Point, end: Point) -> bool:
    """Whether one straight piece touches a box: what of it lies between left and right, top and bottom."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        low, high, at = box[axis], box[axis + 2], begin[axis]
        way = end[axis] - at
        if way == 0:
            if not low <= at <= high:
                return False
            continue
        near, far = sorted(((low - at) / way, (high - at) / way))
        first, last = max(first, near), min(last, far)
    return first <= last
