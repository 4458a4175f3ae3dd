"""Forms of acts that happen anew each time: the same content again within minutes is asked about once."""

from datetime import timedelta

from django.utils import timezone
from django.utils.dateformat import format as date_format

A_MOMENT_AGO = timedelta(minutes=10)  # common sense, no source: longer than Back and a second look take


class AsksAgain:
    """Part of a form that, where `asks_again` is set, asks whether the very same was done twice.

    The browser's Back and a second press come with a key of their own, so the key can't tell it.
    """

    asks_again = False
    AGAIN = "again"
    alike = None
    """The receipt of the same content, while it is being asked about."""

    def was_just_sent(self, alike):
        """Whether to ask: the same came a moment ago, and nobody said that it was done a second time."""
        if alike is None or self.data.get(self.AGAIN) == str(alike.key):
            return False
        self.alike = alike
        return True

    def again_question(self):
        """The question, with the time at which the same was written."""
        at = timezone.localtime(self.alike.created_at)
        return f"You wrote exactly this at {date_format(at, 'H:i')}. Was it done twice?"
