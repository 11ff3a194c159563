"""Every finding of the joints stands in docs/faults.md, and nothing stands there that the code does not say."""

from __future__ import annotations

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "faults.md").read_text(encoding="utf-8")
CODE = re.compile(r"[a-z]+(-[a-z]+)+")


def documented() -> set[str]:
    section = PAGE.split("## Findings of the joints", 1)[1].split("\n## ", 1)[0]
    return set(re.findall(r"^\| `([a-z-]+)` \|", section, flags=re.MULTILINE))


def written() -> set[str]:
    """Kebab-case texts of the joiner's modules: codes of faults and findings."""
    found = set()
    for path in sorted((ROOT / "src" / "batchwright" / "joinery").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.fullmatch(node.value):
                found.add(node.value)
    return found


def test_every_code_of_the_joints_is_documented() -> None:
    told = set(re.findall(r"`([a-z0-9-]+)`", PAGE))
    assert written() and written() <= told, written() - told


def test_no_finding_is_documented_that_is_never_said() -> None:
    assert documented() and documented() <= written(), documented() - written()
