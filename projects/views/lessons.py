"""Lessons: what goes wrong in this shop, why, and what is checked since."""

from collections import Counter

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects import compared
from projects.actions import lessons as acts
from projects.forms.failures import LessonForm
from projects.models import Cause, Failure, Lesson, Project
from projects.trouble import AGAINST, TROUBLES
from projects.views.failures import failure_row, page_of
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.units import counted, times
from workshop.views.answers import form_again, go_to

PAGE, MOST_RETIRED = 20, 20
LATEST, MOST_PROJECTS = 6, 30


@shop_view
@require_safe
def lessons(request):
    """What goes wrong here by kind, what it had in common, and the lessons that stand on checklists."""
    shop = request.shop
    failures = list(Failure.objects.of(shop).kept().values_list("kind", "severity"))
    rows = Lesson.objects.of(shop).told()
    page = Paginator(rows.in_use().order_by("-created_at", "-pk"), PAGE).get_page(request.GET.get("page"))
    context = {
        "kinds": kinds_of(shop, failures),
        "failures": counted(len(failures), "thing").capitalize(),
        "in_use": counted(page.paginator.count, "lesson"),
        "stand": "stands" if page.paginator.count == 1 else "stand",
        "page": page,
        "retired": rows.retired()[:MOST_RETIRED],
        "latest": Failure.objects.of(shop)
        .kept()
        .select_related("project")
        .order_by("-noticed_at", "-pk")[:LATEST],
        "at_work": Project.objects.of(shop).live().order_by("-code", "-pk")[:MOST_PROJECTS],
        "room": "lessons",
    }
    return render(request, "projects/lessons.html", context)


def kinds_of(shop, failures):
    """Each kind that happened, the most frequent in front: how often, why, and its strongest contrast."""
    pours = compared.seen(shop) if failures else []
    causes = {}
    for cause in Cause.objects.of(shop).of_kept().likeliest_first():
        if cause.status != Cause.Status.RULED_OUT:
            causes.setdefault(cause.failure.kind, Counter())[cause.get_code_display()] += 1
    counts = Counter(kind for kind, _ in failures)
    lost = Counter(kind for kind, severity in failures if severity == Failure.Severity.LOST)
    return [
        {
            "kind": kind,
            "word": Failure.Kind(kind).label,
            "times": times(count),
            "lost": counted(lost[kind], "block") if lost[kind] else "",
            "causes": list(causes.get(kind, {})),
            "strongest": next(
                (one for one in compared.in_common(pours, kind, shop.units) if one.striking), None
            ),
        }
        for kind, count in counts.most_common()
    ]


@shop_view
@require_safe
def failure_kind(request, kind):
    """One kind of failure in the whole shop: what its pours had in common, what is usual, each failure."""
    if kind not in Failure.Kind.values:
        raise Http404("No such page")
    shop = request.shop
    rows = Failure.objects.of(shop).filter(kind=kind).newest_first()
    pours = compared.seen(shop)
    trouble = TROUBLES[kind]
    context = {
        "kind": Failure.Kind(kind),
        "page": Paginator(rows, PAGE).get_page(request.GET.get("page")),
        "pours": len(pours),
        "in_common": compared.in_common(pours, kind, shop.units),
        "trouble": trouble,
        "likely": [(Cause.Code(code).label, sign) for code, sign in trouble.likely.items()],
        "room": "lessons",
    }
    return render(request, "projects/failure_kind.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def lesson_new(request):
    """A lesson that no failure of this shop had to teach."""
    back = reverse("projects:lessons", args=[request.shop.key])
    return written(request, {"room": "lessons", "back": back}, failure=None, back=back)


@shop_view
@require_http_methods(["GET", "POST"])
def failure_lesson(request, project, key):
    """The lesson of a failure; it begins with what usually prevents such a one."""
    row, failure = failure_row(request, project, key)
    back = page_of(failure, row)
    context = {"project": row, "failure": failure, "room": "projects", "inside": "failures", "back": back}
    return written(request, context, failure=failure, back=back)


def written(request, context, *, failure, back):
    """The form of a lesson, and what becomes of it."""
    trouble = TROUBLES[failure.kind] if failure else None
    cause = failure and failure.causes.exclude(status=Cause.Status.RULED_OUT).likeliest_first().first()
    form = LessonForm(request.POST or None, initial=begins_with(trouble, cause), shop=request.shop)
    context = {**context, "form": form, "trouble": trouble, "cause": cause}
    if request.method == "GET":
        return render(request, "projects/lesson_new.html", context)

    def act(key, moment):
        acts.learn(request.member, {**form.cleaned_data, "failure": failure}, at=moment.received_at)
        return back

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/lesson_new.html", context)


def begins_with(trouble, cause):
    """The line that a lesson begins with: what stops its cause, else what usually prevents its failure."""
    if trouble is None:
        return {"step_kind": "pour"}
    usual = (trouble.prevent[0] if trouble.prevent else "", trouble.stops_at)
    sentence, stops_at = AGAINST.get(cause.code, usual) if cause else usual
    return {"sentence": sentence, "step_kind": stops_at or trouble.stops_at}


@shop_view
@require_POST
def lesson_retire(request, key):
    """Let a lesson go, or bring it back."""
    lesson = get_row(Lesson.objects.all(), request, key)
    acts.retire(request.member, lesson, at=timezone.now(), retired=request.POST.get("retired") == "yes")
    return go_to(request, reverse("projects:lessons", args=[request.shop.key]))
