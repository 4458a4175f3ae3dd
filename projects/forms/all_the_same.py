"""An act against which something stands: asked about once, then written down with the reason."""

from django import forms

from projects.check.told import OTHER_REASON
from workshop.acting import Moment
from workshop.forms.quantities import ShopForm
from workshop.refusals import Refused

HAPPENED = "It has happened already"
ONCE_MORE = "Nothing is written down yet. If it is right, say why and press once more."
SAY_WHY = "Choose why, or say it in your words: it is written down with your name."
SHORTER = "In your words: 160 characters at most. The rest can stand where there is more to remember."
MOST_WHY, MOST_WORDS, MOST_SENT = 120, 160, 4000


def reason_of(chosen, words):
    """The button that was pressed with what was said to it; “another reason” alone says nothing."""
    words = words.strip().rstrip(".")
    chosen = "" if chosen == OTHER_REASON else chosen.strip()
    return ". ".join(part for part in (chosen, words) if part)


def unseen():
    """A field that the part `_all_the_same.html` draws by hand, and no other page shows."""
    return forms.CharField(required=False, max_length=MOST_SENT, widget=forms.HiddenInput)


class AllTheSameForm(ShopForm):
    """The form of an act that can be done all the same, with a reason by button; words can follow."""

    why, why_words, asked = unseen(), unseen(), unseen()
    objections, asking = (), ""

    def stands(self, against, moment):
        """What was typed, with `all_the_same` (None, or why and against what), and the moment of the act.

        `against(values, at)` gives the objections. The moment is that of the first press: asked in between,
        it is the same act still. Who was asked, waited until nothing stands against it and gives no reason
        has acted now. Raises Refused until a reason is given for all that was shown.
        """
        values, shown, why = dict(self.cleaned_data), set(self.cleaned_data["asked"].split()), self.reason
        self.objections = against(values, moment.happened_at)
        if self.objections and shown and not why:
            self.objections = against(values, moment.received_at)
            moment = moment if self.objections else Moment.now(moment.received_at)
        if not self.objections:
            return {**values, "all_the_same": None}, moment
        if not why or not {each.code for each in self.objections} <= shown:
            self.ask(SAY_WHY if shown and not why else ONCE_MORE)
        if len(self.cleaned_data["why"]) > MOST_WHY or len(self.cleaned_data["why_words"]) > MOST_WORDS:
            self.ask(SHORTER)
        names = [each.name for each in self.objections if not each.of_check]
        return {**values, "all_the_same": {"why": why, "against": names}}, moment

    def ask(self, sentence):
        """The form comes back with what stands against the act, and a sentence that says what is wanted."""
        self.asking = sentence
        raise Refused(sentence)

    @property
    def reason(self):
        """Why it is done all the same; empty while nobody has said it."""
        return reason_of(self.cleaned_data["why"], self.cleaned_data["why_words"])

    @property
    def reasons(self):
        """The buttons: what is usual against each objection, then what always may be."""
        usual = [reason for each in self.objections for reason in each.reasons]
        return list(dict.fromkeys([*usual, HAPPENED, OTHER_REASON]))

    @property
    def asked_codes(self):
        """What is shown, as the form hands it back."""
        return " ".join(each.code for each in self.objections)

    def news(self, name, before, after):
        """A figure that changes, in words: “strips 50, now 52”."""
        said = getattr(self.fields[name], "say", str)
        first, then = ("none" if value is None else said(value) for value in (before, after))
        return f"{self.fields[name].label.lower()} {first}, now {then}"
