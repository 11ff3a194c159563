"""The guide for the page: its topics, each as safe HTML, the table of words, and what completion offers."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache

from markdown_it import MarkdownIt
from markdown_it.token import Token

from batchwright.design.complete import complete
from batchwright.design.completion.choices import choices_of
from batchwright.design.words.words import JOINT_KINDS, TABLES
from batchwright.storage.guide import load_page, page_topics

Plain = dict[str, object]

_TITLE = re.compile(r"^# +(.+?)\s*$", re.MULTILINE)


def guide_topics() -> tuple[Plain, ...]:
    """Every page of the guide, in the order of reading: its topic and its title."""
    found = ((topic, load_page(topic) or "") for topic in page_topics())
    return tuple({"topic": topic, "title": _title_of(text) or topic} for topic, text in found)


def guide_html(topic: str = "") -> Plain | None:
    """A page: topic, title, html, and all topics; the first page where none is named, None where there is no such.

    The html holds no markup but what Markdown makes: no scripts, no styles, and links only within the guide.
    """
    wanted = topic or next(iter(page_topics()), "")
    html = _rendered(wanted)
    if html is None:
        return None
    title = next((each["title"] for each in guide_topics() if each["topic"] == wanted), wanted)
    return {"topic": wanted, "title": title, "html": html, "topics": list(guide_topics())}


def guide_words() -> tuple[Plain, ...]:
    """Every word of the language: where it stands, its help, the values it may have if they are a few, an example."""
    return tuple(
        {
            "word": word.word,
            "in": table.key,
            "title": table.title,
            "help": word.says,
            "values": ", ".join(choices_of(table.key, word.word, table.key in _JOINTS)),
            "example": word.example,
            "default": word.default,
            "required": word.required,
        }
        for table in TABLES.values()
        for word in table.words
    )


_JOINTS = (*JOINT_KINDS, "except")


def completion_of(texts: Mapping[str, str], file: str, text: str, at: tuple[int, int]) -> Plain:
    """What may stand at line and column `at` (from 1) of a text that is being typed; `texts` are the open files."""
    found = complete(text, file, at[0], at[1], {**texts, file: text})
    items = [{"label": item.label, "insert": item.insert, "help": item.help} for item in found.items]
    return {"from": found.from_column, "items": items}


def _title_of(text: str) -> str:
    found = _TITLE.search(text)
    return found.group(1) if found else ""


@lru_cache(maxsize=16)
def _rendered(topic: str) -> str | None:
    text = load_page(topic)
    if text is None:
        return None
    reader = MarkdownIt("commonmark", {"html": False, "linkify": False}).enable("table")
    tokens = reader.parse(text)
    _name_headings(tokens)
    for token in tokens:
        token.attrs.pop("style", None)
        for inner in token.children or ():
            _keep_inside(inner)
    return str(reader.renderer.render(tokens, reader.options, {}))


def _name_headings(tokens: Sequence[Token]) -> None:
    """Gives each heading a name to go to: its words with hyphens between them, a number behind a second one."""
    seen: dict[str, int] = {}
    for token, following in zip(tokens, tokens[1:]):
        if token.type == "heading_open":
            name = "-".join(re.findall(r"\w+", following.content.lower())) or "part"
            seen[name] = seen.get(name, 0) + 1
            token.attrs["id"] = name if seen[name] == 1 else f"{name}-{seen[name]}"


def _keep_inside(token: Token) -> None:
    """Links go to pages of the guide or to a heading; any other goes nowhere, and no picture is fetched."""
    if token.type == "image":
        token.type, token.tag, token.children = "text", "", None
    if token.type != "link_open":
        return
    where = str(token.attrs.get("href", ""))
    page, _, heading = where.partition("#")
    topic = page.rsplit("/", 1)[-1].removesuffix(".md")
    inside = not page or (page.endswith(".md") and topic in page_topics() and "//" not in page)
    token.attrs["href"] = where if inside else "#"
