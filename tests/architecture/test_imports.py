import ast
import subprocess
import sys

import pytest

from tests.architecture.sources import APPS, PURE, ROOT, imports_in, module_name, pure_files, tree_of, within

# what a calculation may lean on besides the pure packages below it: nothing here reads a clock by itself,
# opens a file, or knows the app. A new name is a decision, made in this list.
ALLOWED = {
    *(
        "bisect",
        "collections",
        "dataclasses",
        "datetime",
        "decimal",
        "enum",
        "fractions",
        "functools",
        "heapq",
    ),
    *("hashlib", "html", "io", "itertools", "json", "math", "operator", "re", "statistics", "struct"),
    *("typing", "zoneinfo", "ezdxf", "numpy", "scipy"),
}
READERS = {"materials.science.reference.load": {"csv", "pathlib"}}


def strangers(source, package, module=""):
    """What a source of a pure package imports and may not."""
    own = (package, *PURE[package])
    allowed = ALLOWED | READERS.get(module, set())
    found = set()
    for name in imports_in(ast.parse(source)):
        if name.split(".")[0] in (*APPS, "config", "tests"):
            found |= set() if any(within(name, part) for part in own) else {name}
        elif name.split(".")[0] not in allowed:
            found.add(name)
    return found


@pytest.mark.parametrize(("package", "path"), pure_files(), ids=lambda value: getattr(value, "name", value))
def test_a_calculation_imports_only_calculations_below_it_and_plain_libraries(package, path):
    assert not strangers(path.read_text(encoding="utf-8"), package, module_name(path))


@pytest.mark.parametrize(
    ("package", "source"),
    [
        ("workshop.drawing", "from materials.science.errors import OutOfRange"),
        ("workshop.drawing", "from workshop.models import Shop"),
        ("materials.science", "from materials.models import Resin"),
        ("materials.science", "from projects.geometry.stack import Stack"),
        ("projects.geometry", "import projects.planning.windows"),
        ("projects.geometry", "def late():\n    from django.conf import settings"),
        ("projects.planning", "from projects.geometry import stack"),
        ("projects.review", "import time"),
        ("projects.review", "import projects"),
        ("workshop.drawing", "from workshop import models"),
        ("projects.review", "from config import settings"),
        ("materials.science", "import csv"),
    ],
)
def test_the_rule_of_imports_catches_what_breaks_it(package, source):
    assert strangers(source, package)


@pytest.mark.parametrize(
    ("package", "source"),
    [
        ("projects.geometry", "from materials.science.errors import OutOfRange"),
        ("projects.geometry", "from workshop.drawing.svg import element"),
        ("materials.science", "from materials.science import errors"),
        ("workshop.drawing", "from workshop import drawing"),
        ("projects.geometry", "def heavy():\n    import scipy.optimize"),
    ],
)
def test_the_rule_of_imports_lets_pass_what_keeps_it(package, source):
    assert not strangers(source, package)


def test_no_app_imports_an_app_above_it():
    above = {"workshop": ("materials", "projects"), "materials": ("projects",)}
    wrong = [
        f"{module_name(path)} imports {name}"
        for app, forbidden in above.items()
        for path in sorted((ROOT / app).rglob("*.py"))
        for name in imports_in(tree_of(path))
        if name.split(".")[0] in forbidden
    ]
    assert not wrong


def test_the_import_contracts_of_the_project_are_kept():
    run = subprocess.run(
        [
            sys.executable,
            "-c",
            "from importlinter.cli import lint_imports_command as run; run()",
            "--no-cache",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    assert " 0 broken" in run.stdout
