import importlib
import json
import subprocess
import sys

import pytest

from tests.architecture.sources import ROOT

DOORS = json.loads((ROOT / "tests/data/doors.json").read_text(encoding="utf-8"))

# run in a process of its own: it may not find Django, and tells what else it had to load
LOOK = """
import importlib, inspect, json, sys

class NoDjango:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("django", "config"):
            raise ImportError(f"a calculation asked for {name}")

sys.meta_path.insert(0, NoDjango())

def plain(thing):
    signature = inspect.signature(thing)
    bare = [part.replace(annotation=inspect.Parameter.empty) for part in signature.parameters.values()]
    return str(inspect.Signature(bare))

found = {}
for module, doors in json.load(sys.stdin).items():
    loaded = importlib.import_module(module)
    for name, door in doors.items():
        thing = getattr(loaded, name)
        row = found.setdefault(module, {})[name] = {"call": plain(thing)}
        if "base" in door:
            row["base"] = thing.__mro__[1].__name__
        if "has" in door:
            parts = {part: inspect.getattr_static(thing, part) for part in door["has"]}
            row["has"] = {
                part: None if isinstance(value, property) else plain(value) for part, value in parts.items()
            }
heavy = sorted({"ezdxf", "numpy", "scipy", "shapely", "weasyprint"} & set(sys.modules))
print(json.dumps({"doors": found, "heavy": heavy}))
"""


def looked_at(doors):
    """What the doors look like in a process that has no Django."""
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", LOOK],
        cwd=ROOT,
        input=json.dumps(doors),
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)


def test_every_door_so_far_opens_without_django_and_has_its_agreed_signature():
    assert looked_at(DOORS)["doors"] == DOORS


# time tables and a panel's thousands of pieces are arrays; whoever opens one of these loads the library
WITH_ARRAYS = {
    module
    for module in DOORS
    if module.startswith("projects.planning")
    or module
    in {
        "projects.geometry.cut_drawing",
        "projects.geometry.cuts",
        "projects.geometry.groups",
        "projects.geometry.lines",
        "projects.geometry.panel",
        "projects.geometry.seam_drawing",
        "projects.geometry.seams",
        "projects.geometry.sight",
    }
}


def test_no_door_but_those_with_arrays_loads_a_heavy_library():
    light = {module: doors for module, doors in DOORS.items() if module not in WITH_ARRAYS}
    assert looked_at(light)["heavy"] == []


def test_the_doors_with_arrays_load_nothing_heavier():
    arrays = {module: doors for module, doors in DOORS.items() if module in WITH_ARRAYS}
    assert looked_at(arrays)["heavy"] == ["numpy"]


def test_the_check_of_doors_sees_a_changed_signature():
    changed = {"projects.geometry.drawing": {"block_svg": {"call": "(stack)"}}}
    assert looked_at(changed)["doors"] != changed


def test_the_check_of_doors_is_really_without_django():
    with pytest.raises(AssertionError, match="a calculation asked for django"):
        looked_at({"django.conf": {"settings": {"call": "()"}}})


@pytest.mark.parametrize("module", sorted(DOORS))
def test_every_door_says_how_it_is_used(module):
    loaded = importlib.import_module(module)
    silent = [name for name in DOORS[module] if ">>>" not in (getattr(loaded, name).__doc__ or "")]
    assert not silent
