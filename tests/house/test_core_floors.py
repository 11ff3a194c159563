"""The core floors compute: they open no file, ask no clock, throw no dice, call no network, print nothing.

Only the handbook loads its own packaged tables, through importlib.resources.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from tree import CORE_FLOORS, EDGES, PACKAGE, dotted, modules, shown, tree_of

NEVER_IMPORTED = {
    "random", "secrets", "time", "socket", "ssl", "http", "urllib", "requests", "httpx", "asyncio", "subprocess",
    "sqlite3", "tempfile", "shutil", "threading", "multiprocessing", "logging", "getpass", "locale", "glob", "pickle",
}  # fmt: skip
NEVER_CALLED = {"open", "input", "print", "eval", "exec", "compile", "__import__", "breakpoint", "globals"}
DISK_METHODS = {
    "open", "read_text", "read_bytes", "write_text", "write_bytes", "unlink", "mkdir", "rmdir", "touch", "iterdir",
    "exists", "is_file", "is_dir", "glob", "rglob", "home", "cwd", "tofile", "fromfile", "loadtxt", "savetxt",
}  # fmt: skip
CLOCK_AND_DICE = {
    "datetime.now", "datetime.today", "datetime.utcnow", "date.today", "datetime.datetime.now", "datetime.date.today",
    "uuid.uuid1", "uuid.uuid4", "os.urandom", "os.getenv", "os.environ.get", "os.getpid",
}  # fmt: skip
EDGE_MAY_IMPORT = {"tempfile", "threading"}


def _imported(tree: ast.Module) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, name.name) for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            yield from ((node.lineno, f"{node.module}.{name.name}") for name in node.names)


def _wrong_imports(tree: ast.Module, forbidden: set[str]) -> Iterator[tuple[int, str]]:
    for line, name in _imported(tree):
        if name.split(".")[0] in forbidden:
            yield line, f"imports {name}"


def _wrong_calls(tree: ast.Module, may_load: bool) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and dotted(node) in ("os.environ", "sys.stdout", "sys.stderr", "sys.argv"):
            yield node.lineno, f"touches {dotted(node)}"
        if isinstance(node, ast.Global):
            yield node.lineno, "keeps global state"
        if not isinstance(node, ast.Call):
            continue
        name = dotted(node.func)
        tail = name.rpartition(".")[2]
        if name in NEVER_CALLED or name in CLOCK_AND_DICE or ".random." in f".{name}":
            yield node.lineno, f"calls {name}"
        elif isinstance(node.func, ast.Attribute) and tail in DISK_METHODS and not may_load:
            yield node.lineno, f"calls {name}, which looks like the disk"


def findings(path: Path, floor: str) -> list[str]:
    """What a module of a core floor does that it may not."""
    tree = tree_of(path)
    may_load = floor == "handbook" and any(name.startswith("importlib.resources") for _, name in _imported(tree))
    wrong = [*_wrong_imports(tree, NEVER_IMPORTED), *_wrong_calls(tree, may_load)]
    return [f"{shown(path, line)} {what}" for line, what in wrong]


@pytest.mark.parametrize("floor", CORE_FLOORS)
def test_core_floor_only_computes(floor: str) -> None:
    wrong = [each for path in modules(floor) for each in findings(path, floor)]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("floor", EDGES)
def test_edge_asks_no_clock_dice_or_network(floor: str) -> None:
    wrong = [
        f"{shown(path, line)} {what}"
        for path in modules(floor)
        for line, what in (
            *_wrong_imports(tree_of(path), NEVER_IMPORTED - EDGE_MAY_IMPORT),
            *((line, what) for line, what in _wrong_calls(tree_of(path), may_load=True) if "calls open" not in what),
        )
    ]
    assert not wrong, "\n".join(wrong)


def test_the_guard_sees_what_it_should(tmp_path: Path) -> None:
    text = "import random\nfrom time import time\nx = open('a')\ny = np.random.rand(3)\nPath('a').read_text()\n"
    wrong = [*_wrong_imports(ast.parse(text), NEVER_IMPORTED), *_wrong_calls(ast.parse(text), may_load=False)]
    assert [line for line, _ in sorted(wrong)] == [1, 2, 3, 4, 5]


def test_every_floor_is_there() -> None:
    assert [floor for floor in (*CORE_FLOORS, *EDGES) if not (PACKAGE / floor / "__init__.py").exists()] == []
