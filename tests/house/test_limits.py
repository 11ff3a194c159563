"""Sizes: a module has at most 400 lines, a function 40, a signature 5 parameters; no module is named for nothing."""

from __future__ import annotations

import ast

from tree import ROOT, functions, modules, shown, tree_of

MODULE_LINES = 400
FUNCTION_LINES = 40
PARAMETERS = 5
NAMELESS = {"util", "utils", "helper", "helpers", "common", "manager", "managers", "misc", "stuff", "tools"}
SOURCES = (*modules(), ROOT / "run.py")


def _lines(node: ast.stmt) -> int:
    return (node.end_lineno or node.lineno) - node.lineno + 1


def is_table(tree: ast.Module, total: int) -> bool:
    """Whether most of a module is values laid out by hand."""
    laid_out = sum(_lines(node) for node in tree.body if isinstance(node, ast.Assign | ast.AnnAssign))
    return laid_out > total / 2


def _body_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines from `def` to the end, without the docstring."""
    has_docstring = ast.get_docstring(node, clean=False) is not None
    return _lines(node) - (_lines(node.body[0]) if has_docstring else 0)


def _parameters(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    named = [each.arg for each in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]
    return len([name for name in named if name not in ("self", "cls")])


def test_modules_are_short() -> None:
    lengths = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in SOURCES}
    long = [
        f"{shown(path)} has {lines} lines"
        for path, lines in lengths.items()
        if lines > MODULE_LINES and not is_table(tree_of(path), lines)
    ]
    assert not long, "\n".join(long)


def test_functions_are_short() -> None:
    long = [
        f"{shown(path, node.lineno)} {node.name} has {_body_lines(node)} lines"
        for path in SOURCES
        for node in functions(tree_of(path))
        if _body_lines(node) > FUNCTION_LINES
    ]
    assert not long, "\n".join(long)


def test_signatures_are_short() -> None:
    long = [
        f"{shown(path, node.lineno)} {node.name} takes {_parameters(node)}: make a frozen record of them"
        for path in SOURCES
        for node in functions(tree_of(path))
        if _parameters(node) > PARAMETERS
    ]
    # A command of the terminal names each of its options once, where the help is written.
    long = [each for each in long if not each.startswith("src/batchwright/cli/")]
    assert not long, "\n".join(long)


def test_every_module_has_a_name_of_its_own() -> None:
    bad = [shown(path) for path in modules() if {path.stem, *path.parent.parts[-2:]} & NAMELESS]
    assert not bad, "\n".join(bad)


def test_every_module_says_what_it_is() -> None:
    bad = [shown(path) for path in SOURCES if not ast.get_docstring(tree_of(path))]
    assert not bad, "\n".join(bad)
