"""docs/plan-json.md tells every key of the schema, and no key that is not there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from batchwright.app.record import schema

PAGE = Path(__file__).parents[2] / "docs" / "plan-json.md"
Node = dict[str, Any]


def keys(node: Node, before: str = "") -> Iterator[str]:
    """Dotted names of the keys of an object and of the unnamed objects in it; `[]` behind lists of objects."""
    for key, value in node.get("properties", {}).items():
        items = value.get("items", {})
        is_list = bool(items.get("properties") or items.get("$ref", "#/$defs/point") != "#/$defs/point")
        yield f"{before}{key}{'[]' if is_list else ''}"
        for each in (value, *value.get("anyOf", ()), *value.get("oneOf", ())):
            yield from keys(each, f"{before}{key}.")
            yield from keys(each.get("items", {}), f"{before}{key}[].")


def told() -> dict[str, dict[str, str]]:
    """Section of the page to its keys and their meanings."""
    found = {}
    for section in PAGE.read_text(encoding="utf-8").split("\n## ")[1:]:
        rows = re.findall(r"^\| `([^`]+)` \| (.*) \|$", section, flags=re.MULTILINE)
        found[section.split("\n", 1)[0]] = dict(rows)
    return found


def test_every_key_of_the_schema_is_told_and_no_other() -> None:
    whole = schema()
    definitions: Node = whole["$defs"]  # type: ignore[assignment]
    wanted = {"plan": sorted(keys(whole))}
    wanted |= {name: sorted(keys(node)) for name, node in definitions.items() if node.get("properties")}
    assert {name: sorted(section) for name, section in told().items()} == wanted


def test_every_key_has_a_meaning_and_every_link_a_section() -> None:
    sections = told()
    for section in sections.values():
        for key, meaning in section.items():
            assert len(meaning) >= 5, key
            for link in re.findall(r"\]\(#([a-z_]+)\)", meaning):
                assert link in sections
