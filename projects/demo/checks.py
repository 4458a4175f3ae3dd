"""Checks before a pour of the demo that were kept, and the stop that somebody overruled."""

from projects.actions import check
from projects.check import asked, facts
from projects.demo.world import minutes

KEPT = {
    ("Front of a radio", 2), ("Stair window, second floor", 1), ("Lamp hood, a pair", 1),
}  # fmt: skip
"""Before which lifts the check was kept."""
OVERRULED = {
    ("Front of a radio", 2): (
        ("temperature", "The shop is full, the cellar is free. It only takes longer, the sheet says."),
        ("earlier_pour", "It is still tacky"),
    ),
}
"""The findings that were overruled there, and the reasons given."""


def checked(story, step, lift, at, weather):
    """The check as it stood a little before a lift, and what was overruled of it."""
    here = (story.piece.title, lift)
    if here not in KEPT:
        return
    night = weather["temp_c"] - (0.5 if lift in story.piece.cellar else 3)
    answers = asked.first_answers(step, asked.last_check(step), at=at) | {
        "shop_c": weather["temp_c"], "humidity_percent": weather["humidity_percent"], "night_c": night,
        "lifts": story.piece.pours - lift + 1, "cups": story.piece.cups, "hold_down_g": 2500.0,
    }  # fmt: skip
    found = facts.check(step, answers, at)
    check.keep_check(story.member, step, answers, found, **story.world.act(at))
    for later, (code, reason) in enumerate(OVERRULED.get(here, ()), start=4):
        check.overrule(story.member, step, code, reason, **story.world.act(at + minutes(later)))
