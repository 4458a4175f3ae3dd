"""Changes of the shelf, each one transaction: lots and their ledger, and the products they are lots of."""

from materials.actions.ledger import (
    AlreadyReversed,
    Short,
    TooLittle,
    count,
    draw_at_bench,
    draw_at_shelf,
    on_hand_thousandths,
    reverse,
    to_thousandths,
)
from materials.actions.lots import change_lot, open_lot, put_back, receive, set_level, take_off
from materials.actions.products import (
    add_resin,
    add_species,
    add_supply,
    change_resin,
    change_species,
    change_supply,
    furnish,
    remove_supply,
)

__all__ = [
    "AlreadyReversed",
    "Short",
    "TooLittle",
    "add_resin",
    "add_species",
    "add_supply",
    "change_lot",
    "change_resin",
    "change_species",
    "change_supply",
    "count",
    "draw_at_bench",
    "draw_at_shelf",
    "furnish",
    "on_hand_thousandths",
    "open_lot",
    "put_back",
    "receive",
    "remove_supply",
    "reverse",
    "set_level",
    "take_off",
    "to_thousandths",
]
