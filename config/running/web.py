"""What the web server does as it starts: gunicorn reads this as its configuration."""

from config.running import parent


def on_starting(server: object) -> None:
    """End with the command that began it."""
    parent.end_with_it()
