"""Forms of a row that somebody else may change meanwhile: what it was at first, and what it is now."""

import json
from datetime import date, time

from django import forms
from django.utils import timezone
from django.utils.dateformat import format as date_format

from workshop.models import Event
from workshop.refusals import Refused

OVERTAKEN = (
    "This was changed while your page was open. What you typed is all here: look at it, then press again."
)
AT_ONCE = "Somebody changed this at the very same moment. Press again to see what."
LOOKED_AT = 40  # the newest lines of history, among which the change of a field is looked for


def plain(field, value):
    """A value of a form as JSON can carry it."""
    value = value if isinstance(value, int | float) else field.prepare_value(value)
    if value is None or isinstance(value, bool | int | float):
        return value
    return [str(part) for part in value] if isinstance(value, list | tuple) else str(value)


def read(field, raw):
    """What `plain` made of a value, as the field compares it; what no page of ours sent is text."""
    if not isinstance(raw, str) or isinstance(field, forms.ModelChoiceField):
        return raw
    try:
        return field.to_python(raw)
    except forms.ValidationError:
        return raw


def differs(field, value, typed):
    """Whether a field says something else than this value; a browser's line ends are no difference."""
    if isinstance(typed, str):
        typed = typed.replace("\r\n", "\n")
    if isinstance(value, str):
        value = value.replace("\r\n", "\n")
    return field.has_changed(value, typed)


def put(data, name, field, value):
    """Put a value into what was sent, in the shape the page's field gives it."""
    if isinstance(field.widget, forms.CheckboxInput):
        shown = ["on"] if value else []
    else:
        shown = field.widget.format_value(field.prepare_value(value))
        shown = shown if isinstance(shown, list) else ["" if shown is None else shown]
    data.setlist(name, shown)


def said(bound, value):
    """A value as a sentence names it."""
    field = bound.field
    if value in (None, "", []):
        return "empty"
    if isinstance(value, bool):
        return "ticked" if value else "not ticked"
    if isinstance(value, date):
        return date_format(value, "j M Y")
    if isinstance(value, time):
        return date_format(value, "H:i")
    if isinstance(field, forms.ModelChoiceField):
        return chosen(field, value)
    if isinstance(field, forms.ChoiceField):
        return f"“{dict(field.choices).get(value, value)}”"
    if isinstance(value, int | float):
        return field.say(value) if hasattr(field, "say") else f"{value:g}"
    text = str(field.prepare_value(value))
    return f"“{text[:60]}…”" if len(text) > 60 else f"“{text}”"


def chosen(field, value):
    """The name of a row that is chosen from."""
    try:
        return f"“{field.label_from_instance(field.to_python(value))}”"
    except forms.ValidationError:
        return "something else"


class OfARow:
    """Part of a form that, given `row`, knows what it was opened with.

    What nobody touched takes over what is kept now. A touched field whose kept value has moved is
    asked about once, so that one person's page does not put another's change back unseen.
    """

    OPENED = "opened"

    def know_the_row(self, row):
        """Begin with the rows the form changes, the first being the one that is held; None for a new one."""
        rows = row if isinstance(row, list | tuple) else [row]
        self.rows = [each for each in rows if each is not None]
        self.of_a_row = row is not None
        self.moved, self.taken_over, self.asked_about = {}, [], False
        self.opened = self.read_opened() if self.of_a_row and self.is_bound else {}

    def read_opened(self):
        """What the page was opened with, by field; nothing where it carries nothing that can be read."""
        try:
            found = json.loads(self.data.get(self.add_prefix(self.OPENED), ""), parse_constant=str)
        except (ValueError, RecursionError):
            return {}
        return found if isinstance(found, dict) else {}

    def kept_now(self, name):
        """What is kept of a field now."""
        return self.get_initial_for_field(self.fields[name], name)

    def of_the_row(self):
        """The names of the fields that the row has."""
        return [name for name, field in self.fields.items() if not isinstance(field, forms.FileField)]

    def take_over(self):
        """Put what is kept now into the fields that nobody touched; note those where both have a say."""
        if not self.opened:
            return
        for name in self.of_the_row():
            if name in self.moved or name in self.taken_over or not self.has_moved(name):
                continue
            if self.is_touched(name):
                self.moved[name] = self.opened[name]
            else:
                self.data = self.data.copy()
                put(self.data, self.add_prefix(name), self.fields[name], self.kept_now(name))
                self.taken_over.append(name)

    def has_moved(self, name):
        """Whether something else is kept of a field than the page showed; or the page had no such field."""
        if name not in self.opened:
            return self.is_omitted(name)
        return self.opened[name] != plain(self.fields[name], self.kept_now(name))

    def is_omitted(self, name):
        """Whether nothing at all came for a field."""
        widget = self.fields[name].widget
        return widget.value_omitted_from_data(self.data, self.files, self.add_prefix(name))

    def is_touched(self, name):
        """Whether somebody typed in a field since the page was opened."""
        field, where = self.fields[name], self.add_prefix(name)
        if self.is_omitted(name):
            return False
        typed = field.widget.value_from_datadict(self.data, self.files, where)
        return differs(field, read(field, self.opened[name]), typed)

    def full_clean(self):
        """Fields that a form adds by itself take over as well, before anything is read."""
        if self.is_bound:
            self.take_over()
        super().full_clean()

    def opened_with(self):
        """What the page carries of what it shows; of a field not asked about yet, what it was at first."""
        if not self.of_a_row:
            return ""
        now = {name: plain(self.fields[name], self.kept_now(name)) for name in self.of_the_row()}
        unasked = {} if self.asked_about else self.moved
        return json.dumps({**now, **unasked}, separators=(",", ":"), ensure_ascii=False)

    def opened_name(self):
        """The name of the hidden field."""
        return self.add_prefix(self.OPENED)

    def is_overtaken(self, member):
        """Whether somebody else's change would be put back; each field says it, once."""
        found = [name for name in self.moved if self.puts_back(name)]
        if not found:
            return False
        lines = self.newest_lines()
        for name in found:
            self.add_error(name, self.sentence(name, lines, member))
        self.add_error(None, OVERTAKEN)
        self.asked_about = True
        return True

    def puts_back(self, name):
        """Whether what was typed is neither what the page began with nor what is kept now."""
        field, where = self.fields[name], self.add_prefix(name)
        typed = field.widget.value_from_datadict(self.data, self.files, where)
        return differs(field, self.kept_now(name), typed)

    def newest_lines(self):
        """What history says of the rows, newest first."""
        keys = [row.key for row in self.rows]
        return list(Event.objects.of(self.shop).about_any(keys).select_related("actor")[:LOOKED_AT])

    def sentence(self, name, lines, member):
        """What a field is now, what it was, and who changed it."""
        bound, field = self[name], self.fields[name]
        label = "This" if bound.label.endswith("?") else bound.label
        then = said(bound, read(field, self.moved[name]))
        now = said(bound, self.kept_now(name))
        told = f"{label} is {now} now; you opened this page when it was {then}."
        line = next((line for line in lines if name in line.after), lines[0] if lines else None)
        return f"{told} {who(line, member)}" if line else told

    def told_of_taken_over(self):
        """A sentence about what the form took over by itself; empty where there is nothing to say."""
        labels = [self[name].label for name in self.taken_over if name in self.opened]
        if not labels:
            return ""
        names = ", ".join(f"“{label}”" for label in labels)
        return f"{names} had been changed while your page was open, and that was left as it is."

    def hold_the_row(self):
        """Within the act's transaction: nobody stored anything between this form's look and now."""
        if not self.opened or not self.rows:
            return
        row = self.rows[0]
        now = type(row)._base_manager.select_for_update().filter(pk=row.pk).first()
        names = [field.attname for field in row._meta.concrete_fields if field.attname in row.__dict__]
        if now is None or any(getattr(now, name) != getattr(row, name) for name in names):
            raise Refused(AT_ONCE)


def who(line, member):
    """Who made a change, and when."""
    name = "You" if line.actor_id == member.pk else line.actor.name if line.actor else "The program"
    at = timezone.localtime(line.at)
    day = "" if at.date() == timezone.localdate() else f" on {date_format(at, 'j M')}"
    return f"{name} changed it{day} at {date_format(at, 'H:i')}."
