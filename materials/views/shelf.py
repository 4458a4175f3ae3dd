"""The shelf: what stands on its boards, and what has to be bought or looked after."""

from dataclasses import dataclass

from django.core.paginator import Paginator
from django.db.models import Count
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from materials import ageing, buying
from materials.drawings import drawing
from materials.models import Lot, Resin
from workshop.access import shop_view

PAGE, FIRST_OF_BOARD, SOME = 36, 12, 6
LOW_G = 100  # less than a test cup is "low"
BOARDS = {
    "bottles": ("Bottles", (Lot.Kind.RESIN,)),
    "wood": ("The rack", (Lot.Kind.WOOD, Lot.Kind.SAWN)),
    "leftovers": ("Leftovers", (Lot.Kind.LEFTOVER,)),
    "supplies": ("Tape, tins and paper", Lot.SUPPLIES),
}
"""The boards of the shelf: what stands on each."""
FILTERS = {
    "": "everything", "bottles": "bottles", "wood": "wood", "leftovers": "leftovers",
    "supplies": "tape, tins, paper", "ageing": "ageing", "off": "taken off",
}  # fmt: skip


@dataclass(frozen=True)
class Board:
    """One board with what stands on it, and how many more there are."""

    key: str
    title: str
    tickets: list
    more: int


@shop_view
@require_safe
def shelf(request):
    """All boards, or what was asked for: one kind, what is ageing, what was taken off, a word."""
    kind, find = request.GET.get("kind", ""), request.GET.get("find", "").strip()
    kind = kind if kind in FILTERS else ""
    today = timezone.localdate()
    context = {
        "filters": FILTERS.items(),
        "kind": kind,
        "find": find,
        "off": kind == "off",
        "resins": Resin.objects.of(request.shop).filter(removed_at=None).order_by("name")[:50],
        "room": "shelf",
        **beside(request.shop, today),
    }
    if kind or find:
        context |= asked_for(request, kind, find, today)
    else:
        context |= all_boards(request.shop, today)
    return render(request, "materials/shelf.html", context)


def all_boards(shop, today):
    """Each board with its first lots."""
    here = Lot.objects.of(shop).here()
    counts = dict(here.order_by().values_list("kind").annotate(Count("pk")))
    first = {key: here.filter(kind__in=kinds).in_order() for key, (_, kinds) in BOARDS.items()}
    shown = [
        pk
        for key, (_, kinds) in BOARDS.items()
        if any(counts.get(kind) for kind in kinds)
        for pk in first[key].values_list("pk", flat=True)[:FIRST_OF_BOARD]
    ]
    tickets = tickets_of(shown, today)
    boards = []
    for key, (title, kinds) in BOARDS.items():
        some = [row for row in tickets if row["lot"].kind in kinds]
        if some:
            boards.append(Board(key, title, some, sum(counts.get(kind, 0) for kind in kinds) - len(some)))
    return {"boards": boards, "page": None}


def asked_for(request, kind, find, today):
    """What was asked for, page by page, each on its board."""
    lots = Lot.objects.of(request.shop)
    lots = lots.off() if kind == "off" else lots.here()
    if kind in BOARDS:
        lots = lots.filter(kind__in=BOARDS[kind][1])
    if kind == "ageing":
        lots = lots.ageing(today, ageing.months_open(request.shop))
    page = Paginator(lots.found(find).in_order().values_list("pk", flat=True), PAGE).get_page(
        request.GET.get("page")
    )
    tickets = tickets_of(list(page), today)
    boards = [
        Board(key, title, some, 0)
        for key, (title, kinds) in BOARDS.items()
        if (some := [row for row in tickets if row["lot"].kind in kinds])
    ]
    return {"boards": boards, "page": page}


def tickets_of(pks, today):
    """The tickets of some lots: their ledgers are summed for these alone."""
    lots = Lot.objects.filter(pk__in=pks).with_on_hand().with_names().in_order()
    return [ticket(lot, today) for lot in lots]


def beside(shop, today):
    """What stands beside the shelf as sentences: what to buy, what runs low, what is ageing."""
    buys, old, low = buying.to_buy(shop, today), ageing.ageing(shop, today), ageing.running_low(shop)
    return {
        "buys": buys[:SOME],
        "more_buys": max(0, len(buys) - SOME),
        "old": old[:SOME],
        "more_old": len(old) > SOME,
        "low": low[:SOME],
        "today": today,
    }


def ticket(lot, today):
    """A lot as it stands on the shelf: its drawing and its state."""
    return {"lot": lot, "svg": drawing(lot), "state": state(lot, today)}


def state(lot, today):
    """The state that a lot's ticket shows, or an empty text."""
    if not lot.is_counted:
        return {"low": "low", "gone": "gone"}.get(lot.level, "")
    if lot.on_hand < 0:
        return "short"
    if lot.on_hand == 0:
        return "empty"
    if lot.use_by and lot.use_by < today:
        return "past"
    if lot.kind == Lot.Kind.RESIN and lot.on_hand < LOW_G:
        return "low"
    return ""
