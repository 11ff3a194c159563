"""The house as data: its modules, their syntax trees, the files under version control."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "batchwright"
CORE_FLOORS = ("base", "handbook", "geometry", "model", "solids", "joinery", "checks", "planning", "proof")
EDGES = ("design", "sheets")


@cache
def modules(*floors: str) -> tuple[Path, ...]:
    """Every module of the package, or of the named floors."""
    roots = [PACKAGE / floor for floor in floors] or [PACKAGE]
    return tuple(sorted(path for root in roots for path in root.rglob("*.py")))


@cache
def tree_of(path: Path) -> ast.Module:
    """The syntax tree of a module."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def shown(path: Path, line: int = 0) -> str:
    """A path as a message shows it: from the root, with its line."""
    return path.relative_to(ROOT).as_posix() + (f":{line}" if line else "")


def functions(tree: ast.AST) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function of a tree, methods and inner ones included."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def dotted(node: ast.expr) -> str:
    """`a.b.c` of a name or attribute; a call or subscript on the way shows as `()`."""
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute):
        return f"{dotted(node.value)}.{node.attr}"
    return "()"


@cache
def tracked() -> tuple[Path, ...]:
    """Every file under version control that is on disk; all files of the checkout's own folders without git."""
    try:
        listed = subprocess.run(
            ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"],
            cwd=ROOT, capture_output=True, check=True, text=True,
        ).stdout.split("\0")  # fmt: skip
        found = [ROOT / name for name in listed if name]
    except (OSError, subprocess.CalledProcessError):
        folders = ("src", "tests", "docs", "examples", "benchmarks", ".ci")
        found = [path for folder in folders for path in (ROOT / folder).rglob("*")]
        found += list(ROOT.glob("*.*"))
    return tuple(sorted(path for path in found if path.is_file() and "__pycache__" not in path.parts))


@cache
def text_of(path: Path) -> str | None:
    """The text of a file, None if it is not text."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return None
