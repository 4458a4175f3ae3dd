"""When to pour: the page of the advisor, live as one types."""

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from projects import advice, starts_told
from projects.check import asked
from projects.forms.starts import StartsForm
from projects.starts import PLAIN, SAFE, Plan, moment_at, running_window, starts_of
from projects.turn import turn_of
from projects.views.bench import block_row
from workshop.access import shop_view

PAGE, FOUND = "projects/starts.html", "projects/_starts_found.html"


@shop_view
@require_safe
def starts(request, key):
    """The best starts of a pour, and what becomes of one now or at a time that was typed."""
    step, now = block_row(request, key), timezone.now()
    first = first_answers(step, now)
    typed = request.GET if "pours" in request.GET else None
    turn = turn_of(step, now)
    form = StartsForm(typed, initial=first, shop=request.shop, waits=turn is not None)
    context = {"step": step, "form": form, "resin": step.block.resin, "room": "bench"}
    if typed and not form.is_valid():
        context["wrong"] = True
    elif step.block.resin:
        context |= found(step, form.cleaned_data if typed else first, turn, now)
    return render(request, FOUND if request.htmx and typed else PAGE, context)


def first_answers(step, now):
    """In how many pours, and how long each takes: as the last check has it, else as is usual."""
    answers = asked.first_answers(step, asked.last_check(step), at=now)
    return {
        "pours": answers["lifts"],
        "minutes": answers["mix_fill_min"],
        "begin": None,
        "hours": "safe",
        "since": "turn",
    }


def found(step, answers, turn, now):
    """What the advisor says, in words and as a picture."""
    shop, clock = step.shop, running_window(step)
    from_turn = turn is not None and answers.get("since") != "now"
    earliest = turn.since(now) if from_turn else now
    # what is not asked about a later turn is not answered: its best start stands below
    begin = (
        None
        if answers["begin"] is None and earliest > now
        else moment_at(answers["begin"], earliest, shop.tz)
    )
    plan = Plan(
        step.block.resin,
        answers["pours"],
        answers["minutes"],
        since=max(earliest, clock.due_at) if clock else earliest,
        begin=begin,
        safety=SAFE if answers["hours"] == "safe" else PLAIN,
        until=clock.closes_at if clock else None,
    )
    advice_ = starts_of(shop, plan)
    best = advice_.ways[0] if advice_.ways else None
    return {
        "starts": advice_,
        "clock": clock,
        "turn": starts_told.turn_said(turn, from_turn, now, shop.tz),
        "later": earliest > now,
        "asked": starts_told.asked_said(advice_, now, shop.tz),
        "reserve": starts_told.reserve_said(advice_, plan.safety),
        "ways": starts_told.ways_of(advice_, now, shop.tz),
        "helps": starts_told.helps_said(advice_, now, shop.tz),
        "no_window": starts_told.NO_WINDOW.format(step.block.resin.name) if advice_.missing else "",
        "drawings": starts_told.drawings(advice_, best, now, shop.tz),
        "allowed_mm": advice.sheet_depth_in_stack(step.block),
        "safe": answers["hours"] == "safe",
        "many": answers["pours"] > 1,
    }
