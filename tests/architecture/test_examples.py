import ast
import doctest
import importlib

import pytest

from tests.architecture.sources import module_name, pure_files, tree_of

MODULES = [path for _, path in pure_files() if path.name != "__init__.py"]
MOST_LINES, MOST_BODY = 400, 40


def functions_of(path):
    return [node for node in ast.walk(tree_of(path)) if isinstance(node, ast.FunctionDef)]


def body_lines(function):
    """The length of a function without its signature and docstring."""
    body = function.body[1:] if ast.get_docstring(function) and len(function.body) > 1 else function.body
    return body[-1].end_lineno - body[0].lineno + 1


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_the_examples_of_a_calculation_run_as_printed(path):
    result = doctest.testmod(importlib.import_module(module_name(path)))
    assert result.failed == 0


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_a_calculation_says_what_it_is_and_shows_an_example_of_each_function(path):
    tree = tree_of(path)
    assert ast.get_docstring(tree), "the module says in a line what it holds"
    public = [
        node
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
    ]
    assert not [node.name for node in public if not ast.get_docstring(node)]
    functions = [node for node in public if isinstance(node, ast.FunctionDef)]
    assert not [node.name for node in functions if ">>>" not in ast.get_docstring(node)]


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_a_calculation_fits_a_screen_and_its_file_one_sitting(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES
    assert not [node.name for node in functions_of(path) if body_lines(node) > MOST_BODY]
