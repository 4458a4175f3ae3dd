"""What is wanted against what is on the shelf: who gets what, what is missing, and when to order it."""

import math
from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from materials import advice, ageing
from materials.models import Lot
from materials.wanted import Want, wants_of

SLACK_MM = 0.05  # a bundle is as thick as it was wanted when it is so near (a judgement)
LEAST = 0.0005  # half of what a ledger can hold is nothing
NOISE = 1e-6  # of a pack: what a sum may be off by without asking for another one


NAMES = ("kind", "resin", "part", "species", "supply", "code", "key")
DATES = ("use_by", "opened_on", "received_on", "resin__shelf_months_open", "resin__shelf_months_closed")
SIZES = ("thickness_mm", "width_mm", "length_mm")


def unfit(sizes, wanted):
    """Why strips of these sizes (thick, wide, long) will not do for those wanted; empty where they will."""
    if None in sizes:
        return "not measured"
    (thick, wide, long), (want_thick, want_wide, want_long) = sizes, wanted
    if abs(thick - want_thick) > SLACK_MM:
        return "too thick" if thick > want_thick else "too thin"
    if wide < want_wide - SLACK_MM:
        return "too narrow"
    return "too short" if long < want_long - SLACK_MM else ""


@dataclass
class Stock:
    """A lot that can be counted on, with what is left of it while the wants are gone through."""

    code: str
    key: object
    unit: str
    left: float
    level: str
    sizes: tuple
    keeps_until: date | None = None

    def fits(self, want):
        """Whether it will do: the same unit, in date then, strips as thick, and as wide and long or more."""
        if self.unit != want.unit or (self.keeps_until and want.on and self.keeps_until < want.on):
            return False
        return want.species is None or not unfit(
            self.sizes, (want.thickness_mm, want.width_mm, want.length_mm)
        )


@dataclass(frozen=True)
class Served:
    """A want and what the shelf has for it."""

    want: Want
    found: float
    lots: tuple
    """(code, key) of the lots that it would come from."""

    @property
    def missing(self):
        """What the shelf does not have for it, in its unit."""
        left = self.want.amount - self.found
        return left if left > LEAST else 0.0


def serve(shop, today):
    """Every want of a shop with what is on the shelf for it; who needs it first is served first."""
    wants = wants_of(shop)
    stock = stock_for(shop, wants, today)
    return [served(want, stock[want.target]) for want in wants]


def served(want, stock):
    """What one want takes out of the stock of its kind."""
    found, lots = 0.0, []
    for lot in stock:
        if found >= want.amount or not lot.fits(want):
            continue
        if lot.level:
            taken = want.amount if lot.level == Lot.Level.ENOUGH else 0.0
        else:
            taken = min(lot.left, want.amount - found)
            lot.left -= taken
        if taken > 0:
            found += taken
            lots.append((lot.code, lot.key))
    return Served(want, found, tuple(lots))


def stock_for(shop, wants, today):
    """Lots by what they are: only of what is wanted, here, in date, the one to use first in front."""
    stock = defaultdict(list)
    if not wants:
        return stock
    targets = {
        name: {w.target[1] for w in wants if w.target[0] == name} for name in ("resin", "wood", "supply")
    }
    lots = Lot.objects.of(shop).usable(today).of_targets(targets).to_use_first()
    # the columns are named before the sum, so that the database groups by these alone
    for row in lots.values(*NAMES, *SIZES, *DATES, "unit", "level").held():
        keeps = ageing.last_day(*(row[name] for name in DATES))
        if keeps and keeps < today:
            continue
        targets = {
            Lot.Kind.RESIN: ("resin", row["resin"], row["part"]),
            Lot.Kind.WOOD: ("wood", row["species"], ""),
        }
        left = max(row["held_thousandths"], 0) / 1000
        sizes = tuple(row[name] for name in SIZES)
        stock[targets.get(row["kind"], ("supply", row["supply"], ""))].append(
            Stock(row["code"], row["key"], row["unit"], left, row["level"], sizes, keeps)
        )
    return stock


@dataclass(frozen=True)
class Missing:
    """An amount that is missing: of part A, of part B, or of the whole; with the unit it is said in."""

    label: str
    amount: float
    unit: str


@dataclass(frozen=True)
class Buy:
    """One thing to buy: how much of it is missing, in how many packs it comes, and by when to order it."""

    want: Want
    """The first that the shelf can't serve: it says by when."""
    name: str
    missing: tuple
    packs: int | None
    pack: float | None
    lead_days: int | None
    for_whom: tuple
    """The projects it is for."""

    @property
    def is_gone(self):
        """Whether it is something that should always be there, and is not: no day to wait for then."""
        return self.want.unit == Lot.Unit.LEVEL

    @property
    def order_by(self):
        """The last day to order it; None where no date or no time on the road is known, or it is gone."""
        if self.is_gone or self.want.on is None or self.lead_days is None:
            return None
        return self.want.on - timedelta(days=self.lead_days)


def to_buy(shop, today):
    """What is wanted and not here, what has to be ordered first in front."""
    short = [row for row in serve(shop, today) if row.missing]
    short.sort(key=lambda row: str(group_of(row.want)))
    buys = [buy_of(list(rows)) for _, rows in groupby(short, key=lambda row: group_of(row.want))]
    return sorted(buys, key=lambda buy: (buy.order_by or buy.want.on or date.max, buy.name))


def group_of(want):
    """What is bought together: both parts of a resin, strips of one size, one supply."""
    kind, pk, _ = want.target
    return kind, pk, want.thickness_mm, want.width_mm, want.length_mm


def buy_of(rows):
    """What is missing of one thing as one line."""
    first = min(rows, key=lambda row: row.want.on or date.max).want
    amounts = defaultdict(float)
    for row in rows:
        amounts[row.want.part] += row.missing
    product = first.resin or first.supply
    pack = getattr(product, "pack_g", None) if first.resin else getattr(product, "pack", None)
    return Buy(
        want=first,
        name=str(product or first.species),
        missing=tuple(Missing(part, amount, first.unit) for part, amount in sorted(amounts.items())),
        packs=packs_of(first, amounts, pack),
        pack=pack,
        lead_days=getattr(product, "lead_days", None),
        for_whom=tuple(dict.fromkeys((row.want.project, row.want.project_key) for row in rows)),
    )


def packs_of(want, amounts, pack):
    """How many packs cover what is missing; None where no pack is known."""
    if not pack:
        return None
    if not want.resin:
        return math.ceil(sum(amounts.values()) / pack - NOISE)
    parts = dict(zip("AB", advice.parts_by_mass(want.resin), strict=True))
    whole = sum(parts.values())
    return max(math.ceil(amount / (pack * parts[part] / whole) - NOISE) for part, amount in amounts.items())
