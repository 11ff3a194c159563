"""Every statement of the examples, taken into its form and written out again, says what it said."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page
from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from piece_files import EXAMPLES

PIECES = sorted(EXAMPLES.glob("*/*.piece.yaml"))
WRITE = """async (text) => {
  const { readTree, valueAt } = await import("/static/editor/tree.js");
  const { DRAWINGS, DRAWN, JOINTS, OF_A_PART } = await import("/static/forms/kinds.js");
  const { valuesOf, writeStatement } = await import("/static/forms/statement.js");
  const { inBrackets, onLines } = await import("/static/forms/flow.js");
  const tree = readTree(text);
  const written = (specs, node) => writeStatement(specs, valuesOf(specs, node));
  const parts = valueAt(tree, ["parts"]).entries.map(({ key, value }) => {
    const drawing = DRAWINGS.map(([each]) => each).find((each) => valueAt(value, [each]));
    return [key, onLines(written([...DRAWN[drawing], ...OF_A_PART], value))];
  });
  const joints = valueAt(tree, ["joints"]).items.map((value) => {
    const kind = JOINTS.find(([each]) => value.entries.some((entry) => entry.key === each));
    return inBrackets(written(kind[2], value));
  });
  return { parts, joints };
}"""


@pytest.fixture(scope="module")
def modules(browser: Any, serve: Any) -> Any:
    """A page that may load the page's own modules."""
    page = browser.new_page()
    page.goto(serve().address)
    yield page
    page.close()


def _plain(node: Node) -> Any:
    if isinstance(node, ScalarNode):
        return node.value
    if isinstance(node, SequenceNode):
        return [_plain(item) for item in node.value]
    assert isinstance(node, MappingNode)
    return {key.value: _plain(value) for key, value in node.value}


def _read(text: str) -> Any:
    return _plain(YAML(typ="safe", pure=True).compose(text))


def _one_as_list(said: dict[str, Any]) -> dict[str, Any]:
    """A section in brackets means two of its axes; it is kept by the text and has no field."""
    return {word: value for word, value in said.items() if not (word == "section" and isinstance(value, list))}


@pytest.mark.parametrize("path", PIECES, ids=lambda path: path.name)
def test_form_writes_a_statement_as_it_was(modules: Page, path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    said = _read(text)
    written = modules.evaluate(WRITE, text)
    for name, lines in written["parts"]:
        wanted = _one_as_list(said["parts"][name])
        assert _one_as_list(_read(lines)) == wanted, name
    for wanted, lines in zip(said["joints"], written["joints"], strict=True):
        assert _read(lines) == wanted
