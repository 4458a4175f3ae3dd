"""What a project is: its facts, where it stands, its cover; and taking it off the list."""

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from projects.actions import bench as acts
from projects.actions import plan
from projects.forms.piece import AsideForm, CoverForm, PickForm, PieceForm
from projects.models import EntryPicture, LogEntry, Project, Step
from workshop import pictures
from workshop.access import get_row, shop_view
from workshop.acting import key_of, perform
from workshop.forms.quantities import ShopForm
from workshop.views.answers import form_again

PAGE, MOST_PHOTOS = "projects/piece.html", 12
FACTS = ("title", "due_on", "purpose", "customer", "customer_note")


def project_row(request, key):
    """A project of this shop with its cover."""
    return get_row(Project.objects.kept().select_related("cover", "shop"), request, key)


def piece_url(project):
    """The page of a project's facts."""
    return reverse("projects:piece", args=[project.shop.key, project.key])


@shop_view
@require_http_methods(["GET", "POST"])
def piece(request, project):
    """What the piece is, for whom, until when."""
    row = project_row(request, project)
    form = PieceForm(request.POST or None, initial=facts_of(row), shop=request.shop, row=row)
    if request.method == "GET":
        return render(request, PAGE, piece_context(request, row, form=form))

    def act(key, moment):
        plan.change_project(request.member, row, form.cleaned_data, at=moment.received_at)
        return piece_url(row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, piece_context(request, row, form=form))


def facts_of(project):
    """A project's facts under the names of their form."""
    return {name: getattr(project, name) for name in FACTS}


def piece_context(request, project, **forms):
    """Facts, where it stands, the photos to choose a cover from."""
    photos = EntryPicture.objects.of(request.shop).of_project(project)
    return {
        "project": project,
        "form": PieceForm(initial=facts_of(project), shop=request.shop, row=project),
        "aside_form": AsideForm(shop=request.shop, prefix="aside"),
        "cover_form": CoverForm(shop=request.shop, prefix="cover"),
        "photos": photos[:MOST_PHOTOS],
        "still_open": Step.objects.of(request.shop).still_open(project).count(),
        "room": "projects",
        "inside": "piece",
        **forms,
    }


@shop_view
@require_POST
def piece_state(request, project):
    """An idea, planned, finished, or taken up again: the button says which."""
    row = project_row(request, project)
    wanted = request.POST.get("state", "")
    form = ShopForm(request.POST, shop=request.shop)

    def act(key, moment):
        if wanted == "again":
            plan.take_up(request.member, row, at=moment.received_at)
        elif wanted in (Project.State.IDEA, Project.State.PLANNED, Project.State.FINISHED):
            plan.set_state(request.member, row, wanted, at=moment.received_at)
        return piece_url(row)

    done = perform(request, form, act)
    return done or form_again(request, PAGE, piece_context(request, row, state_form=form))


@shop_view
@require_POST
def piece_aside(request, project):
    """Set aside, with the reason."""
    row = project_row(request, project)
    form = AsideForm(request.POST, shop=request.shop, prefix="aside")

    def act(key, moment):
        why = form.cleaned_data["why"]
        plan.set_state(request.member, row, Project.State.SET_ASIDE, at=moment.received_at, why=why)
        return piece_url(row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, piece_context(request, row, aside_form=form))


@shop_view
@require_POST
def piece_cover(request, project):
    """One of the project's photos as its cover; none takes the cover away."""
    row = project_row(request, project)
    form = PickForm(request.POST, shop=request.shop, project=row)

    def act(key, moment):
        photo = form.cleaned_data["photo"]
        plan.set_cover(request.member, row, photo and photo.picture, at=moment.received_at)
        return piece_url(row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, piece_context(request, row, pick_form=form))


@shop_view
@require_POST
def cover_photo(request, project):
    """Another photo: it goes into the log, and is the cover from now on."""
    row = project_row(request, project)
    form = CoverForm(request.POST, request.FILES, shop=request.shop, prefix="cover")
    done = form.is_valid() and keep_cover(request, row, form)
    return done or form_again(request, PAGE, piece_context(request, row, cover_form=form))


def keep_cover(request, project, form):
    """Take the photo in and make it the cover; None where it is no photo, and the form says so."""
    back = piece_url(project)
    if LogEntry.objects.of(request.shop).filter(key=key_of(request.POST)).exists():
        return perform(request, form, lambda key, moment: back)
    try:
        picture = pictures.take_in(form.cleaned_data["photo"], request.member, at=timezone.now())
    except pictures.NotAPicture as problem:
        form.add_error("photo", str(problem))
        return None

    def act(key, moment):
        acts.add_photo(
            request.member, key=key, moment=moment, project=project, step=None, picture=picture, text="Cover"
        )
        plan.set_cover(request.member, project, picture, at=moment.received_at)
        return back

    return perform(request, form, act)


@shop_view
@require_POST
def project_remove(request, project):
    """Take a project off the list, or bring it back."""
    row = get_row(Project.objects.select_related("cover", "shop"), request, project)
    removed = request.POST.get("removed") == "yes"
    form = ShopForm(request.POST, shop=request.shop)

    def act(key, moment):
        plan.remove_project(request.member, row, at=moment.received_at, removed=removed)
        return reverse("projects:project-list", args=[request.shop.key]) if removed else piece_url(row)

    done = perform(request, form, act)
    return done or form_again(request, PAGE, piece_context(request, row, state_form=form))
