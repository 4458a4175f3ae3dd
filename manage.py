#!/usr/bin/env python3
"""The two commands: `python3 manage.py start` and `python3 manage.py test`; Django's others work too.

This file must parse on any Python, so that an old one can say which is needed.
"""

import os
import sys

NEEDED = (3, 11)


def newer_python():
    """The name of a Python on the path that is new enough, or an empty text."""
    for minor in range(20, NEEDED[1] - 1, -1):
        name = "python3.%d" % minor
        for folder in os.environ.get("PATH", "").split(os.pathsep):
            if os.access(os.path.join(folder, name), os.X_OK):
                return name
    return ""


def main():
    """Set up what is missing, then run the command; answer the exit code."""
    if sys.version_info < NEEDED:
        said = "Grainglass needs Python %d.%d or newer; this one is %s.\n" % (
            NEEDED + (sys.version.split()[0],)
        )
        newer = newer_python()
        if newer:
            said += "Type: %s manage.py %s\n" % (newer, " ".join(sys.argv[1:]))
        sys.stderr.write(said)
        return 1
    from config.setup import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
