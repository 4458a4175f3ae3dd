"""Why an act was not done: an answer to the maker, in their words."""


class Refused(Exception):  # noqa: N818 an answer, not a fault of the program
    """The act was not done; the message says what is wrong and what to do."""
