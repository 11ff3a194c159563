"""Third-party libraries: declared, pinned, and each let in through one module, so that it can leave through it."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections import defaultdict
from importlib.metadata import packages_distributions

from tree import PACKAGE, ROOT, modules, shown, tree_of

EVERYWHERE = {"numpy"}
"""The language of arrays; no module could hide it."""
OF_A_FLOOR = {"typer": "cli", "click": "cli", "rich": "cli", "starlette": "web", "fastapi": "web", "uvicorn": "web",
              "jinja2": "web"}  # fmt: skip
"""Frameworks of a door: every room of that floor may use them, no other."""


READ_AND_WRITTEN = {"ezdxf": {"src/batchwright/design/outlines/dxf_in.py", "src/batchwright/sheets/render/dxf.py"}}
"""A format that one edge reads and another writes: the two edges may not know each other."""


def _third_party() -> dict[str, set[str]]:
    found: dict[str, set[str]] = defaultdict(set)
    for path in modules():
        for node in ast.walk(tree_of(path)):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
                names = [node.module]
            for name in (full.split(".")[0] for full in names):
                if name != "batchwright" and name not in sys.stdlib_module_names:
                    found[name].add(shown(path))
    return found


def _declared() -> dict[str, list[str]]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return {"": project["dependencies"], **project["optional-dependencies"]}


def _normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", re.split(r"[<>=!~;\[ ]", name, maxsplit=1)[0]).lower()


def test_each_library_enters_through_one_module() -> None:
    wrong = [
        f"{name}: {', '.join(sorted(users))}"
        for name, users in sorted(_third_party().items())
        if name not in EVERYWHERE and name not in OF_A_FLOOR and len(users) > 1 and users != READ_AND_WRITTEN.get(name)
    ]
    assert not wrong, "\n".join(wrong)


def test_the_frameworks_of_a_door_stay_at_that_door() -> None:
    wrong = [
        f"{name}: {user}"
        for name, users in _third_party().items()
        if name in OF_A_FLOOR
        for user in sorted(users)
        if not user.startswith(shown(PACKAGE / OF_A_FLOOR[name]) + "/")
    ]
    assert not wrong, "\n".join(wrong)


def test_every_imported_library_is_a_dependency() -> None:
    declared = {_normal(each) for group in _declared().values() for each in group}
    owners = packages_distributions()
    wrong = [
        f"{name} ({', '.join(sorted(users))})"
        for name, users in sorted(_third_party().items())
        if not {_normal(each) for each in owners.get(name, [name])} & declared
    ]
    assert not wrong, "\n".join(wrong)


def test_every_dependency_is_pinned_and_nothing_says_where_to_fetch_it() -> None:
    text = (ROOT / "constraints.txt").read_text(encoding="utf-8")
    pinned = {_normal(line) for line in text.splitlines() if "==" in line and not line.startswith("#")}
    missing = sorted({_normal(each) for group in _declared().values() for each in group} - pinned)
    assert not missing, f"not in constraints.txt: {', '.join(missing)}"
    assert "://" not in text and "--index" not in text
