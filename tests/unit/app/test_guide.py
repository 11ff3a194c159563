"""The guide on the page: safe HTML of the pages in docs, the table of words, completion as plain values."""

from __future__ import annotations

import html
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from batchwright.app import guide
from batchwright.app.guide import completion_of, guide_html, guide_topics, guide_words
from batchwright.design.words.words import TABLES

DOCS = Path(__file__).parents[3] / "docs"
TOPICS = [str(each["topic"]) for each in guide_topics()]
ALLOWED = {
    "h1", "h2", "h3", "h4", "p", "a", "code", "pre", "em", "strong", "ul", "ol", "li", "table", "thead", "tbody", "tr",
    "th", "td", "br", "blockquote", "hr",
}  # fmt: skip


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def tags(text: str) -> list[tuple[str, dict[str, str | None]]]:
    parser = Tags()
    parser.feed(text)
    return parser.found


def test_the_guide_begins_with_a_piece_of_ones_own() -> None:
    first = guide_html()
    assert first is not None and first["title"] == "Your own piece" and first["topics"] == list(guide_topics())
    assert TOPICS == ["your-own-piece", "language", "faults", "glossary"]
    assert guide_html("../README") is None and guide_html("language.md") is None


@pytest.mark.parametrize("topic", TOPICS)
def test_a_page_holds_only_what_markdown_makes_and_leads_nowhere_else(topic: str) -> None:
    page = guide_html(topic)
    assert page is not None
    found = tags(str(page["html"]))
    assert {tag for tag, _ in found} <= ALLOWED
    assert {name for _, attrs in found for name in attrs} <= {"href", "id", "class", "start"}
    for tag, attrs in found:
        if tag == "a":
            assert re.fullmatch(r"(?:\.\./)?(?:guide/)?[\w-]+\.md(?:#[\w-]+)?|#[\w-]*", str(attrs["href"]))
    names = [attrs["id"] for _, attrs in found if "id" in attrs]
    assert len(names) == len(set(names)) > 3


@pytest.mark.parametrize("topic", TOPICS)
def test_no_word_of_a_page_is_lost(topic: str) -> None:
    source = next(DOCS.rglob(f"{topic}.md")).read_text(encoding="utf-8")
    page = guide_html(topic)
    assert page is not None
    shown = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", str(page["html"]))).split())
    for word in set(re.findall(r"[A-Za-z]{6,}", re.sub(r"\]\([^)]*\)", "]", re.sub(r"```.*", "", source)))):
        assert word in shown, word


def test_markup_in_a_page_is_shown_and_not_obeyed(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "# A\n<script>x()</script>\n[b](javascript:x) [c](https://d.example/) ![e](f.png)\n\n| a |\n| :-: |\n| b |\n"
    monkeypatch.setattr(guide, "load_page", lambda topic: text)
    shown = guide._rendered.__wrapped__("x")
    assert "<script" not in shown and "style" not in shown and "<img" not in shown
    assert "https:" not in shown and 'href="javascript' not in shown


def test_every_word_has_its_help() -> None:
    told = guide_words()
    assert {(each["in"], each["word"]) for each in told} == {
        (key, word.word) for key, table in TABLES.items() for word in table.words
    }
    assert all(each["help"] and each["example"] for each in told) and json.dumps(told)
    values = {(each["in"], each["word"]): each["values"] for each in told}
    assert values["tenon", "end"] == "blind, through, wedged" and values["part", "sawn"] == "rift, quarter, flat"


def test_completion_comes_as_plain_values() -> None:
    text = "piece: A\nparts:\n  leg: {count: pair}\njoints:\n  - {tenon: le"
    found = completion_of({"a.piece.yaml": "old"}, "a.piece.yaml", text, (5, 15))
    assert found["from"] == 13
    assert json.loads(json.dumps(found))["items"][0] == {
        "label": "leg",
        "insert": "leg",
        "help": "a part, all its copies",
    }
    assert completion_of({"a.piece.yaml": text}, "a.job.yaml", "spares: {", (1, 10))["items"]
