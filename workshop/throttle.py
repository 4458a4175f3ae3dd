"""How often somebody may ask: counted in each server process, which is near enough against a flood."""

from django.core.cache import cache


def allowed(name, *, most, seconds):
    """Whether this is not more than the `most`-th time within so many seconds."""
    key = f"throttle.{name}"
    if cache.add(key, 1, seconds):
        return True
    try:
        return cache.incr(key) <= most
    except ValueError:  # it ran out between the two
        return cache.add(key, 1, seconds) or True
