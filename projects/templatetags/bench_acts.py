"""What the templates of the bench and the log ask: the acts of a step, and a reading as it is said."""

from django import template

from projects.actions import readings
from projects.acts_of import doors_of
from workshop.templatetags.figures import system_of

register = template.Library()


@register.simple_tag
def doors(step):
    """The acts of a step with their addresses: `main`, and `others`."""
    return doors_of(step)


@register.simple_tag(takes_context=True)
def said(context, reading):
    """A reading's value in the shop's units."""
    return readings.said(reading.kind, reading.value, system_of(context))
