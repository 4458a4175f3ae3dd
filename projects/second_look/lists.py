"""What is left open on a list: pieces that are not ticked, lines that the shelf lacks."""

from projects.second_look.objection import REASONS, Objection

SHORT_NAMED = 4  # of lines of a shelf list, that a sentence can still be read


def unticked(missing):
    """Pieces glued that are not ticked on the map of the dry fit."""
    if not missing:
        return None
    pieces = f"{missing} piece{'' if missing == 1 else 's'}"
    return Objection(
        "unticked",
        f"{pieces} not ticked",
        f"{pieces} of the panel {'is' if missing == 1 else 'are'} not ticked on the map.",
        "Lay and tick them before the glue: a joint that sets wrong is sawn apart.",
        REASONS["unticked"],
    )


def short(names):
    """What is to be bought called bought while the shelf lacks it; `names` are the lines that are short."""
    if not names:
        return None
    lines = f"{len(names)} line{'' if len(names) == 1 else 's'} of the shelf list"
    more = f" and {len(names) - SHORT_NAMED} more" if len(names) > SHORT_NAMED else ""
    return Objection(
        "short",
        f"{lines} short",
        f"{lines} {'is' if len(names) == 1 else 'are'} short: {'; '.join(names[:SHORT_NAMED])}{more}.",
        "What has come goes onto the shelf, so that the next steps find it.",
        REASONS["short"],
    )
