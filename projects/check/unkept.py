"""A check that nobody kept, reckoned at the cup: what stops the pour all the same."""

from datetime import timedelta

from projects.check import asked, facts, told

KEPT_FOR = timedelta(hours=24)  # the evening before counts, the week before does not (judgement)


def is_fresh(check, resin, at):
    """Whether a kept check still speaks for a cup: of the last day and night, and of the same resin."""
    if check is None or resin is None or at - check.happened_at > KEPT_FOR:
        return False
    return check.detail["answers"].get("resin") == str(resin.key)


def stops(step, last, at, *, room_c=None, humidity_percent=None):
    """The rows that say stop and that nobody overruled, for the block's resin at the warmth of the cup.

    What a former check answered is taken over; what is not known stops nothing.
    """
    answers = asked.first_answers(step, last, at=at) | {"resin": step.block.resin}
    read = {"shop_c": room_c, "humidity_percent": humidity_percent}
    answers |= {name: value for name, value in read.items() if value is not None}
    overrules = step.overrules.select_related("entry__member").order_by("created_at")
    rows = told.rows_of(facts.check(step, answers, at).findings, step.shop.units, overrules)
    return [row for row in rows if row.level == "stop" and row.overruled is None]
