"""The style page: each part of the look once, with invented data."""

from datetime import UTC, datetime, timedelta

from django.shortcuts import render
from django.views.decorators.http import require_safe

from workshop.access import shop_view
from workshop.drawing.bottle import bottle_svg
from workshop.drawing.clock import clock
from workshop.drawing.gauge import Gauge, gauge_svg
from workshop.drawing.progress import progress_svg
from workshop.drawing.stock import bundle_svg, leftover_svg
from workshop.drawing.supplies import paper_svg, roll_svg, tin_svg
from workshop.drawing.warmth import Warmth, warmth_svg
from workshop.drawn import drawn

MORNING = datetime(2026, 3, 10, 8, 0, tzinfo=UTC)
WARMTH = Warmth(
    start=MORNING,
    hours=24,
    expected=[
        (0, 20),
        (60, 23),
        (150, 34),
        (220, 47),
        (260, 51),
        (320, 48),
        (480, 35),
        (720, 26),
        (1440, 20),
    ],
    safe=[(0, 20), (60, 26), (130, 44), (180, 60), (210, 64), (260, 58), (480, 34), (720, 25), (1440, 20)],
    cool=[(0, 20), (120, 26), (240, 37), (320, 40), (480, 34), (720, 26), (1440, 20)],
    limit_c=60,
    limit_name="printed combs soften",
    gel_min=200,
    opens_min=300,
    closes_min=660,
    demould_min=1380,
    shut=[(600, 1380)],
)
GAUGES = {"hot": Gauge(51, 60, 43, 64), "cold": Gauge(14, 18, more_is_worse=False)}


@shop_view
@require_safe
def parts(request):
    """Each part of the look once."""
    context = {
        "room": "shop",
        "clocks": clocks(),
        "stands": stands(),
        "warmth": {
            size: drawn(warmth_svg(WARMTH, size, f"w-{size}")) for size in ("narrow", "wide", "middle")
        },
        "gauges": {name: drawn(gauge_svg(gauge)) for name, gauge in GAUGES.items()},
        "progress": drawn(progress_svg(7, 24, "Fitting")),
    }
    return render(request, "workshop/parts.html", context)


def clocks():
    """The kinds of clock: one that only runs out, one that rings before, windows with and without an end."""

    def after(**given):
        return MORNING + timedelta(**given)

    kinds = {
        "out": clock(MORNING, after(hours=14), after(hours=36)),
        "early": clock(MORNING, after(minutes=19), after(minutes=40), ring_fraction=0.75),
        "window": clock(
            MORNING, after(hours=3), after(hours=8), opens=after(hours=8), closes=after(hours=14)
        ),
        "open": clock(MORNING, after(hours=10), after(hours=8), opens=after(hours=8)),
    }
    return {kind: {"svg": drawn(each.svg), "unit": each.unit} for kind, each in kinds.items()}


def stands():
    """What may stand on a board, drawn."""
    kinds = {
        "a": bottle_svg("A", 0.7, "p-a", pack_g=2000),
        "dark": bottle_svg("B", 0.4, "p-b", darkened=True),
        "bundle": bundle_svg(46, "walnut", 2.0),
        "bar": leftover_svg(2.0, 2.0, "maple"),
        "roll": roll_svg(0.25),
        "tin": tin_svg(0.6, "p-tin"),
        "paper": paper_svg(0.8, "P180"),
    }
    return {kind: drawn(svg) for kind, svg in kinds.items()}
