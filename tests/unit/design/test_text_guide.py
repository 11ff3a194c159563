"""The guide is true: the reference is made from the words, every example in it is read, every block of the walk too."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from batchwright.base.fault import has_errors
from batchwright.design.boards import read_boards, read_defects
from batchwright.design.draft import draft_piece
from batchwright.design.job import read_job
from batchwright.design.shop import read_shop
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Mapping, Node, Sequence
from batchwright.design.words.guide import CHAPTERS, reference_text
from batchwright.design.words.word import Table, Word
from batchwright.design.words.words import JOINT_KINDS, TABLES

GUIDE = Path(__file__).parents[3] / "docs" / "guide"
BLOCK = re.compile(r"```(?:yaml|csv) (\w+)\n(.*?)```", re.DOTALL)
WALK = (GUIDE / "your-own-piece.md").read_text(encoding="utf-8")


def blocks(sort: str) -> list[str]:
    return [text for found, text in BLOCK.findall(WALK) if found == sort]


def words_used(node: Node) -> set[str]:
    match node:
        case Mapping(entries=entries):
            return {key.text for key, _ in entries}.union(*(words_used(value) for _, value in entries))
        case Sequence(items=items):
            return set().union(*(words_used(item) for item in items))
        case _:
            return set()


def test_the_reference_is_what_the_words_say() -> None:
    """To mend it, write `reference_text()` of `batchwright.design.words.guide` to the page."""
    assert (GUIDE / "language.md").read_text(encoding="utf-8") == reference_text()


def test_every_table_has_its_place_in_the_reference() -> None:
    assert sorted(key for _, _, keys in CHAPTERS for key in keys) == sorted(TABLES)
    assert set(JOINT_KINDS) < set(TABLES)


@pytest.mark.parametrize("table", TABLES.values(), ids=lambda table: table.key)
def test_every_example_is_read_and_uses_its_word(table: Table) -> None:
    for word in table.words:
        assert word.says.endswith((".", ")")) and len(word.says) < 240, word
        tree = _read(word)
        assert word.word in words_used(tree), word
    assert len({word.word for word in table.words}) == len(table.words)


def _read(word: Word) -> Mapping:
    text = word.example if not word.example.startswith("{") else f"example: {word.example}"
    tree, faults = read_tree(text + "\n", "f")
    assert tree is not None and not faults, (word, faults)
    return tree


@pytest.mark.parametrize("text", blocks("piece"), ids=lambda text: text.split("\n")[0])
def test_pieces_of_the_walk_are_drawn_without_a_fault(text: str) -> None:
    tree, faults = read_tree(text, "walk.piece.yaml")
    assert tree is not None and not faults
    piece, faults = draft_piece(tree, "walk.piece.yaml")
    assert piece is not None and not has_errors(faults), faults
    assert piece.parts and piece.joints


def test_the_other_files_of_the_walk_are_read_without_a_fault() -> None:
    (job,), (shop,), (boards,), (defects,) = (blocks(sort) for sort in ("job", "shop", "boards", "defects"))
    found, faults = read_job(job, "f")
    assert found is not None and not faults
    _, faults = read_shop(shop, "f")
    assert not faults
    stock, faults = read_boards(boards, "f", "in")
    assert len(stock) == 2 and not faults
    stock, faults = read_defects(defects, "f", "in", stock)
    assert sum(len(board.defects) for board in stock) == 2 and not faults
