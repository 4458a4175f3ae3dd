"""What projects still want from the shelf, kept in step with their blocks and pours."""


def follow(block, *, at, by):
    """Bring the needs that come from a block up to its figures and to what has gone into it."""
