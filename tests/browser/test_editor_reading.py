"""How the page reads the files' text, and what it holds for the least change between two texts; judged from outside."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page
from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from piece_files import EXAMPLES

FILES = sorted(EXAMPLES.glob("*/*.yaml"))
READ = """async (text) => {
  const { readTree } = await import("/static/editor/tree.js");
  const plain = (node) => node.kind === "text" ? node.text : node.kind === "list" ? node.items.map(plain)
    : Object.fromEntries(node.entries.map((entry) => [entry.key, plain(entry.value)]));
  return plain(readTree(text));
}"""
SPANS = """async ([before, after]) => {
  const { difference } = await import("/static/editor/difference.js");
  return difference(before, after);
}"""
LEAVES = """async (texts) => {
  const { leaf } = await import("/static/forms/flow.js");
  return texts.map((text) => leaf(text) ?? "");
}"""


@pytest.fixture(scope="module")
def modules(browser: Any, serve: Any) -> Any:
    """A page that may load the page's own modules."""
    page = browser.new_page()
    page.goto(serve().address)
    yield page
    page.close()


def _plain(node: Node) -> Any:
    """A file's tree as YAML 1.2 has it, every scalar as text, read by a library of its own."""
    if isinstance(node, ScalarNode):
        return node.value
    if isinstance(node, SequenceNode):
        return [_plain(item) for item in node.value]
    assert isinstance(node, MappingNode)
    return {key.value: _plain(value) for key, value in node.value}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_page_reads_an_example_as_the_yaml_library_does(modules: Page, path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    expected = _plain(YAML(typ="safe", pure=True).compose(text))
    assert modules.evaluate(READ, text) == expected


def test_page_reads_any_broken_text_without_failing(modules: Page) -> None:
    text = (EXAMPLES / "terrace-armchair" / "terrace-armchair.piece.yaml").read_text(encoding="utf-8")
    chance = random.Random(11)
    for _ in range(60):
        cut = chance.randrange(len(text))
        put = chance.choice(["{", "}", "- ", ": ", "'", '"', "[", "#", "|", "\t"])
        broken = text[:cut] + put + text[cut + chance.randrange(9) :]
        assert isinstance(modules.evaluate(READ, broken), dict)


LINES = st.lists(st.sampled_from(["leg: 1\n", "rail: 2\n", "  a\n", "\n", "é😀x", "y"]), max_size=9).map("".join)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(before=LINES, after=LINES)
def test_difference_turns_one_text_into_the_other(modules: Page, before: str, after: str) -> None:
    units = before.encode("utf-16-le")  # the page counts in the units of its own strings
    made, at = b"", 0
    for span in modules.evaluate(SPANS, [before, after]):
        assert span["from"] >= at / 2
        made += units[at : 2 * span["from"]] + span["insert"].encode("utf-16-le")
        at = 2 * span["to"]
    assert (made + units[at:]).decode("utf-16-le") == after


def test_difference_leaves_what_is_the_same_alone(modules: Page) -> None:
    before = "sizes:\n  width: 15\n  depth: 12\nparts:\n"
    spans = modules.evaluate(SPANS, [before, before.replace("12", "13 1/2").replace("width", "breadth")])
    assert [(before[span["from"] : span["to"]], span["insert"]) for span in spans] == [("wi", "brea"), ("", "3 1/")]


EXPRESSIONS = [
    "17 1/4", "width/2 - leg thick", "-(a.x)", "left leg, back", "a: b", "# x", "[1, 2]", "[1", "2'6\"", "6\"", "'x",
]  # fmt: skip


def test_what_is_typed_in_a_field_is_read_back_as_it_was_typed(modules: Page) -> None:
    written = modules.evaluate(LEAVES, EXPRESSIONS)
    for typed, leaf in zip(EXPRESSIONS, written, strict=True):
        node = YAML(typ="safe", pure=True).compose(f"x: {{y: {leaf}, z: 1}}\n")
        value = _plain(node)["x"]
        assert value == {"y": ["1", "2"] if typed == "[1, 2]" else typed, "z": "1"}
