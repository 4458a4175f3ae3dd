"""Copies of the pictures and sheets. They never change, so what an earlier backup holds is only linked."""

import os
import shutil
from contextlib import suppress
from pathlib import Path

from config.running.copies import keep_on_disk


def files_in(folder):
    """All files below a folder, as paths within it; none where there is no folder."""
    root = Path(folder)
    found = (file.relative_to(root) for file in root.rglob("*") if file.is_file() and not file.is_symlink())
    return sorted(found)


def sizes(folder):
    """How many files, and how many bytes in all."""
    found = files_in(folder)
    return {"files": len(found), "bytes": sum((Path(folder) / file).stat().st_size for file in found)}


def copy_all(source, target, earlier=None):
    """Copy a folder of files that never change; a file that `earlier` holds unchanged is linked to it."""
    Path(target).mkdir(parents=True, exist_ok=True)
    for file in files_in(source):
        # a picture may be taken away while this runs; then it is in no backup from now on
        with suppress(FileNotFoundError):
            bring(Path(source) / file, Path(target) / file, Path(earlier) / file if earlier else None)


def bring(source, target, earlier):
    """One file: linked where the earlier copy is the same, else copied and on the disk."""
    target.parent.mkdir(parents=True, exist_ok=True)
    if earlier and same(source, earlier):
        with suppress(OSError):  # a disk that knows no links
            os.link(earlier, target)
            return
    shutil.copy2(source, target)
    keep_on_disk(target)


def same(one, other):
    """Whether two files have the same size and age."""
    if not other.is_file():
        return False
    mine, theirs = one.stat(), other.stat()
    return (mine.st_size, int(mine.st_mtime)) == (theirs.st_size, int(theirs.st_mtime))


def put_back(source, target):
    """Make a folder what the copy is: bring what is missing, take away what is not in it."""
    wanted = set(files_in(source))
    for file in wanted:
        if not same(Path(source) / file, Path(target) / file):
            half = Path(target) / file.parent / f".{file.name}.half"
            bring(Path(source) / file, half, None)
            os.replace(half, Path(target) / file)
    for file in set(files_in(target)) - wanted:
        (Path(target) / file).unlink()
