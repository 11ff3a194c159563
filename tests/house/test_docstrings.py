"""Every public function of the handbook tells its parameters in order, with units, its source and its limits."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
from tree import modules, shown, tree_of

UNIT = re.compile(r"\[[^\[\]]+\](?:, shape \([^)]*\))?$")
SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}$", re.MULTILINE)
VALID = re.compile(r"^Valid\b", re.MULTILINE)

PUBLIC = [
    pytest.param(path, node, id=f"{path.stem}.{node.name}")
    for path in modules("handbook")
    for node in tree_of(path).body
    if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and not path.stem.startswith("_")
]


def sections(docstring: str) -> dict[str, str]:
    """The numpydoc sections of a docstring by name; the head is under the empty name."""
    marks = list(SECTION.finditer(docstring))
    ends = [mark.start() for mark in marks[1:]] + [len(docstring)]
    parts = {mark.group(1): docstring[mark.end() : end].strip("\n") for mark, end in zip(marks, ends)}
    return {"": docstring[: marks[0].start()] if marks else docstring, **parts}


def blocks(section: str) -> list[tuple[str, str]]:
    """Each `name : type` of a section with the text under it, joined to one line."""
    found: list[tuple[str, str]] = []
    for line in section.splitlines():
        if line and not line.startswith(" "):
            found.append((line, ""))
        elif found and line.strip():
            head, text = found[-1]
            found[-1] = (head, f"{text} {line.strip()}".strip())
    return found


def complaints(node: ast.FunctionDef, path: Path) -> list[str]:
    """What a docstring lacks."""
    docstring = ast.get_docstring(node)
    if not docstring:
        return ["has no docstring"]
    parts = sections(docstring)
    wrong = [f"lacks '{word}'" for word in ("Source:", ">>>") if word not in docstring]
    if not VALID.search(docstring):
        wrong.append("does not say where it is valid")
    names = [each.arg for each in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]
    told = blocks(parts.get("Parameters", ""))
    documented = [name.strip() for head, _ in told for name in head.partition(" : ")[0].split(",")]
    if documented != names:
        wrong.append(f"documents {documented}, takes {names}")
    wrong += [f"parameter '{head}' does not end in its unit" for head, text in told if not UNIT.search(text)]
    returned = blocks(parts.get("Returns", ""))
    if not returned:
        wrong.append("has no Returns")
    wrong += [f"return '{head}' does not end in its unit" for head, text in returned if not UNIT.search(text)]
    return wrong


@pytest.mark.parametrize(("path", "node"), PUBLIC)
def test_handbook_function_tells_all(path: Path, node: ast.FunctionDef) -> None:
    wrong = complaints(node, path)
    assert not wrong, f"{shown(path, node.lineno)} {node.name}: " + "; ".join(wrong)


def test_the_check_accepts_the_house_template_and_sees_each_lack() -> None:
    good = (
        'def deflection(load: float, span: float) -> float:\n    """Bends.\n\n    Parameters\n    ----------\n'
        "    load : float\n        Load [N/mm]\n    span : float\n        Span,\n        clear [mm]\n\n"
        "    Returns\n    -------\n    float\n        Down [mm]\n\n    Notes\n    -----\n    Valid for beams.\n\n"
        '    Source: closed form.\n\n    Examples\n    --------\n    >>> 1\n    1\n    """\n'
    )

    def told(text: str) -> list[str]:
        node = ast.parse(text).body[0]
        assert isinstance(node, ast.FunctionDef)
        return complaints(node, Path("x.py"))

    assert told(good) == []
    for lost in ("Source:", "Valid", ">>>", " [N/mm]", " clear [mm]", "Down [mm]"):
        assert told(good.replace(lost, "...")), lost
    assert told(good.replace("load: float, span: float", "span: float, load: float"))
