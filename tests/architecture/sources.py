"""The source files of the pure packages, and what they import."""

import ast
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
APPS = ("workshop", "materials", "projects")
# each pure package with the pure packages below it, which are all that it may import of ours
PURE = {
    "workshop.drawing": (),
    "materials.science": ("workshop.drawing",),
    "projects.geometry": ("workshop.drawing", "materials.science"),
    "projects.planning": ("workshop.drawing", "materials.science"),
    "projects.review": ("workshop.drawing", "materials.science"),
}


def files_of(package):
    """Every source file of a package."""
    return sorted((ROOT / package.replace(".", "/")).rglob("*.py"))


def pure_files():
    """Every source file of every pure package, as (package, path)."""
    return [(package, path) for package in PURE for path in files_of(package)]


def module_name(path):
    """The dotted name of a source file."""
    return ".".join(path.relative_to(ROOT).with_suffix("").parts)


def tree_of(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def imports_in(tree):
    """Every module that is imported anywhere, also inside functions; `from a import b` gives a.b."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written whole"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def within(module, package):
    return module == package or module.startswith(f"{package}.")
