"""Why something was not kept or not put back."""


class KeepingTrouble(Exception):  # noqa: N818 an answer to who typed the command
    """The message says what is wrong and what to do."""
