"""What is written down: no path of one machine, no host of a package registry, no page that is not there."""

from __future__ import annotations

import ast
import fnmatch
import re
from pathlib import Path

from tree import ROOT, modules, shown, text_of, tracked, tree_of

_PATHS = r"(?<![\w.])/(?:wo" + r"rk|ho" + r"me|ro" + r"ot|Us" + r"ers)/\w"
_TEMPORARY = r"/t" + r"mp/\w"
_HOSTS = r"py" + r"pi\.org|pythonho" + r"sted|registry\.np" + r"mjs|crates\.i" + r"o/|ana" + r"conda\.org|conda\.an"
_DRIVES = r"\b[A-Z]:\\(?:Users|Windows)"
FORBIDDEN = re.compile("|".join((_PATHS, _TEMPORARY, _HOSTS, _DRIVES)))
FAULT_MAKERS = r"(?i)(?<!setde)(?:fault|mistake)$"
ALL_MAKERS = r"(?i)(?<!setde)(?:fault|mistake|finding)$"
PAGE = re.compile(r"(?<![\w/.-])((?:[\w.-]+/)*[\w-]+\.md)\b")
CODE = re.compile(r"[a-z]+(?:-[a-z0-9]+)*")

TEXTS = [path for path in tracked() if path.suffix not in (".ttf", ".pdf", ".png", ".glb") and path.name != "LICENSE"]


def test_no_text_names_one_machine_or_a_registry() -> None:
    wrong = [
        f"{shown(path)}:{number} {match.group()}"
        for path in TEXTS
        for number, line in enumerate((text_of(path) or "").splitlines(), start=1)
        if (match := FORBIDDEN.search(line))
    ]
    assert not wrong, "\n".join(wrong[:40])


def test_every_page_that_is_named_is_there() -> None:
    names = {path.name for path in (*tracked(), *ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"))}
    wrong = sorted(
        f"{shown(path)} names {match.group(1)}"
        for path in TEXTS
        if path.suffix in (".py", ".md", ".toml", ".yaml", ".csv", ".txt")
        for match in PAGE.finditer(text_of(path) or "")
        if Path(match.group(1)).name not in names
    )
    assert not wrong, "\n".join(wrong[:40])


def _written(value: ast.expr) -> list[str]:
    """The codes an expression may give; one that is put together is told by its beginning and a star."""
    if isinstance(value, ast.JoinedStr):
        head = value.values[0] if value.values else None
        return [f"{head.value}*"] if isinstance(head, ast.Constant) and isinstance(head.value, str) else []
    if isinstance(value, ast.IfExp):
        return [*_written(value.body), *_written(value.orelse)]
    return [value.value] if isinstance(value, ast.Constant) and isinstance(value.value, str) else []


def _codes(path: Path, makers: str) -> set[tuple[str, int]]:
    """The codes a module gives in calls of the named makers: `code="..."`, or the first word of `mistake(...)`."""
    found: set[tuple[str, int]] = set()
    for node in ast.walk(tree_of(path)):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if not re.search(makers, name):
            continue
        given = [word.value for word in node.keywords if word.arg == "code"] or node.args[:1]
        found |= {(code, node.lineno) for value in given for code in _written(value)}
    return found


def test_fault_codes_are_kebab_case() -> None:
    wrong = [
        f"{shown(path, line)} {code!r}"
        for path in modules()
        for code, line in sorted(_codes(path, ALL_MAKERS))
        if not CODE.fullmatch(code.removesuffix("-*"))
    ]
    assert not wrong, "\n".join(wrong)


def test_every_fault_code_is_documented() -> None:
    page = ROOT / "docs" / "faults.md"
    text = page.read_text(encoding="utf-8")
    told = set(re.findall(r"`([a-z0-9-]+)`", text))
    used = {code: shown(path, line) for path in modules() for code, line in _codes(path, FAULT_MAKERS)}
    missing = sorted(f"{where} {code}" for code, where in used.items() if not fnmatch.filter(told, code))
    assert used, "no code was found: the test no longer sees how faults are made"
    assert not missing, "not in docs/faults.md:\n" + "\n".join(missing)
