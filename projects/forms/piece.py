"""Forms of what a project is: its facts, where it stands, its cover."""

from django import forms

from projects.models import EntryPicture, Project
from workshop.forms.quantities import ShopForm


class PieceForm(ShopForm):
    """What the piece is, for whom and until when."""

    title = forms.CharField(label="What is it?", max_length=120)
    due_on = forms.DateField(
        label="Wanted by", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    purpose = forms.ChoiceField(label="What is it for?", choices=Project.Purpose, widget=forms.RadioSelect)
    customer = forms.CharField(label="For whom", required=False, max_length=120)
    customer_note = forms.CharField(
        label="About them",
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Stays here: no sheet prints it unless you ask for it there.",
    )


class AsideForm(ShopForm):
    """Why a project is set aside."""

    why = forms.CharField(label="Why is it set aside?", max_length=300)


class CoverForm(ShopForm):
    """A photo of one's own for the cover."""

    photo = forms.FileField(
        label="Another photo",
        widget=forms.ClearableFileInput(
            attrs={"accept": "image/jpeg,image/png,image/webp,image/heic,image/heif"}
        ),
    )


class PickForm(ShopForm):
    """Which of the project's photos is the cover; none takes it away."""

    photo = forms.ModelChoiceField(queryset=EntryPicture.objects.none(), to_field_name="key", required=False)

    def __init__(self, *args, project, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["photo"].queryset = EntryPicture.objects.of(self.shop).of_project(project)
