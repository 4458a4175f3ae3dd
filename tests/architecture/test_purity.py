import ast

import pytest

from tests.architecture.sources import APPS, PURE, ROOT, files_of, module_name, pure_files

CLOCKS = {
    *("now", "utcnow", "today", "localtime", "gmtime", "time_ns", "monotonic", "monotonic_ns"),
    *("perf_counter", "perf_counter_ns", "process_time", "sleep"),
}
BARE = {"open", "input", "print", "exec", "eval", "compile", "breakpoint", "__import__"}
FILES = {
    *(
        "open",
        "read_text",
        "read_bytes",
        "write_text",
        "write_bytes",
        "unlink",
        "mkdir",
        "iterdir",
        "glob",
        "rglob",
    ),
    *(
        "fromfile",
        "tofile",
        "loadtxt",
        "savetxt",
        "genfromtxt",
        "memmap",
        "savez",
        "getenv",
        "environ",
        "urlopen",
    ),
}
READERS = {"materials.science.reference.load"}


def impurities(source, module=""):
    """Where a source reads a clock, a file, or the surroundings: what is written there."""
    found, reader = [], module in READERS
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Name) and node.id in BARE:
            found.append(node.id)
        elif isinstance(node, ast.Attribute) and node.attr in (CLOCKS | (set() if reader else FILES)):
            found.append(node.attr)
        elif isinstance(node, ast.Global):
            found.append("global")
    return found


@pytest.mark.parametrize("path", [path for _, path in pure_files()], ids=module_name)
def test_a_calculation_reads_no_clock_and_no_file(path):
    assert not impurities(path.read_text(encoding="utf-8"), module_name(path))


@pytest.mark.parametrize(
    "source",
    [
        "from datetime import datetime\nat = datetime.now()",
        "import datetime\nday = datetime.date.today()",
        "import time\nt = time.monotonic()",
        "open('table.csv')",
        "from pathlib import Path\nPath('x').read_text()",
        "import numpy as np\nnp.loadtxt('x')",
        "import os\nos.environ['HOME']",
        "seen = 0\ndef f():\n    global seen",
        "print('hello')",
    ],
)
def test_the_rule_of_purity_catches_what_breaks_it(source):
    assert impurities(source)


def test_the_only_reader_of_the_core_still_reads_no_clock():
    assert impurities("import datetime\ndatetime.datetime.now()", "materials.science.reference.load")


@pytest.mark.parametrize(
    "path",
    [ROOT / app / "__init__.py" for app in APPS]
    + [path for package in PURE for path in files_of(package) if path.name == "__init__.py"],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_a_package_re_exports_nothing(path):
    assert path.read_text(encoding="utf-8").strip() == ""


@pytest.mark.parametrize("package", sorted(PURE))
def test_every_folder_of_a_pure_package_is_a_package(package):
    folders = {path.parent for path in files_of(package)}
    assert folders
    assert not [folder for folder in folders if not (folder / "__init__.py").exists()]
