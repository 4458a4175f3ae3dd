"""How far a long job is: strips that are set stand in light, the others are still gaps."""

from workshop.drawing.svg import band, element, fill, line

HEIGHT = 22
STRIP = 5
MOST_SLOTS = 24


def progress_svg(done: int, total: int, what: str) -> str:
    """A row of slots between strips, filled as far as the job is.

    Parameters: done and total, stages; what, the job in words.
    Returns: an SVG element as wide as its place.
    Raises: ValueError where done is more than total, or total is nothing.

    >>> progress_svg(1, 4, "Fitting").split('aria-label="')[1].split('"')[0]
    'Fitting: 1 of 4 done.'
    """
    if not 0 <= done <= total or total < 1:
        raise ValueError(f"{done} of {total} is no progress")
    slots = min(total, MOST_SLOTS)
    passed = done / total
    parts = [
        element("rect", x=0, y=0, width="100%", height=HEIGHT, **fill("lit")),
        element("rect", x=0, y=0, width=_percent(passed), height=HEIGHT, **fill("resin", also="passed")),
        *([_front(passed)] if 0 < done < total else []),
        *(_strip(number / slots, number, slots) for number in range(slots + 1)),
        *(element("line", x1=0, x2="100%", y1=y, y2=y, **line("edge")) for y in (0.5, HEIGHT - 0.5)),
    ]
    return band(HEIGHT, *parts, sentence=f"{what}: {done} of {total} done.", class_="progress")


def _front(passed: float) -> str:
    at = _percent(passed)
    return element("line", x1=at, x2=at, y1=0, y2=HEIGHT, **line("flame", 3))


def _strip(fraction: float, number: int, slots: int) -> str:
    """A strip between two slots; the outer ones stand inside the picture."""
    shift = {0: 0.0, slots: -float(STRIP)}.get(number, -STRIP / 2)
    moved = f"translate({shift:g} 0)" if shift else None
    return element(
        "rect", x=_percent(fraction), y=0, width=STRIP, height=HEIGHT, transform=moved, **fill("lam")
    )


def _percent(fraction: float) -> str:
    return f"{round(100 * fraction, 3):g}%"
