"""The house stays one that can be read: short modules, short functions, few arguments, names with a meaning."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "batchwright"
MODULES = sorted(SOURCE.rglob("*.py"))
LONGEST_MODULE = 400
LONGEST_FUNCTION = 40
MOST_ARGUMENTS = 5
TABLES = {"design/words.py", "design/syntax_words.py"}
"""Tables of words written as Python are not code to be read through."""
NO_PLACE = {"utils", "helpers", "common", "manager", "misc"}
CORE = ("base", "handbook", "geometry", "model", "solids", "joinery", "checks", "planning", "proof")
FORBIDDEN_IMPORTS = {"time", "random", "secrets", "socket", "urllib", "http", "subprocess", "sqlite3", "tempfile"}


def name_of(module: Path) -> str:
    return module.relative_to(SOURCE).as_posix()


def functions(module: Path) -> Iterator[ast.FunctionDef]:
    for node in ast.walk(ast.parse(module.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef):
            yield node


def body_length(function: ast.FunctionDef) -> int:
    """Lines of a function, its docstring and decorators left out."""
    first = function.body[0]
    has_words = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and isinstance(first.value.value, str)
    words = (first.end_lineno or first.lineno) - first.lineno + 1 if has_words else 0
    return (function.end_lineno or function.lineno) - function.lineno + 1 - words


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_module_is_short_and_named(module: Path) -> None:
    lines = len(module.read_text("utf-8").splitlines())
    assert lines <= LONGEST_MODULE or name_of(module) in TABLES, f"{lines} lines"
    assert module.stem not in NO_PLACE


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_functions_are_short_and_take_few_arguments(module: Path) -> None:
    long = [f"{one.name}: {body_length(one)} lines" for one in functions(module) if body_length(one) > LONGEST_FUNCTION]
    assert not long
    if name_of(module).startswith("cli/"):
        return  # a command's parameters are its options
    many = []
    for one in functions(module):
        given = [*one.args.posonlyargs, *one.args.args, *one.args.kwonlyargs]
        count = len([argument for argument in given if argument.arg not in ("self", "cls")])
        if count > MOST_ARGUMENTS and not name_of(module).startswith("handbook/"):
            many.append(f"{one.name}: {count} arguments")
    assert not many


@pytest.mark.parametrize("module", [one for one in MODULES if name_of(one).split("/")[0] in CORE], ids=name_of)
def test_core_floors_touch_no_disk_clock_chance_or_network(module: Path) -> None:
    tree = ast.parse(module.read_text("utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            assert not {alias.name.split(".")[0] for alias in node.names} & FORBIDDEN_IMPORTS
        if isinstance(node, ast.ImportFrom) and node.module:
            assert node.module.split(".")[0] not in FORBIDDEN_IMPORTS
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in {"open", "input", "eval", "exec", "print"}
        if isinstance(node, ast.Attribute):
            assert node.attr not in {"now", "today", "utcnow", "read_bytes", "write_text", "write_bytes"}


def test_every_module_says_what_it_is() -> None:
    silent = [name_of(module) for module in MODULES if not ast.get_docstring(ast.parse(module.read_text("utf-8")))]
    assert not silent
