"""Drawings of ours may stand in a page as they are."""

from django.utils.safestring import mark_safe


def drawn(svg):
    """An SVG made by a pure drawing function, which escapes every text it is given."""
    return mark_safe(svg)  # noqa: S308 drawn by us
