"""The first file that runs: it parses on an old Python and says which one is needed."""

import ast
import subprocess
import sys
from pathlib import Path

MANAGE = Path(__file__).resolve().parents[2] / "manage.py"
PRETEND = """
import runpy, sys
sys.version_info = (3, 8, 2)
sys.argv = ["manage.py", "start"]
runpy.run_path({path!r}, run_name="__main__")
"""


def on_python_3_8(**environment):
    return subprocess.run(
        [sys.executable, "-c", PRETEND.format(path=str(MANAGE))],
        capture_output=True,
        text=True,
        check=False,
        env=environment,
    )


def test_uses_no_syntax_that_an_old_python_lacks():
    tree = ast.parse(MANAGE.read_text(), feature_version=(3, 4))
    newer = (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr, ast.AsyncFunctionDef)
    found = [node for node in ast.walk(tree) if isinstance(node, newer)]
    annotated = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node.returns]
    assert not found + annotated


def test_says_which_python_is_needed():
    said = on_python_3_8(PATH="")
    assert said.returncode == 1
    assert "Grainglass needs Python 3.11 or newer" in said.stderr


def test_names_a_newer_python_that_is_there(tmp_path):
    newer = tmp_path / "python3.12"
    newer.write_text("#!/bin/sh\n")
    newer.chmod(0o755)
    assert "Type: python3.12 manage.py start" in on_python_3_8(PATH=str(tmp_path)).stderr


def test_does_not_go_on_with_an_old_python():
    assert "Traceback" not in on_python_3_8(PATH="").stderr
