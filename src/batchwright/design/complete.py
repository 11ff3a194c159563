"""Completion and help where a file is being typed: words that may stand there, choices and names, and their help."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from batchwright.design.completion.choices import (
    NO_EXPRESSION,
    PARTS_UNDER,
    PLACES_UNDER,
    SIDES,
    choices_of,
    from_handbook,
)
from batchwright.design.completion.outlook import Outlook, Spot, look
from batchwright.design.completion.tables import context_of, is_joint
from batchwright.design.drawing.copies import COUNTS, FOUR, FRONT_AND_BACK, PAIR
from batchwright.design.text.near import likeness
from batchwright.design.text.syntax import FUNCTIONS, UNITS
from batchwright.design.words.words import JOINT_KINDS, MACHINES, TABLES

MOST_ITEMS = 60
_HELP_OF_FUNCTIONS = "a function: {name}( )"
_LAST_NAME = re.compile(r"[^\W\d_][^\W_]*(?: [^\W_]+)* ?$")
_TABLES_OF = {"sizes": "sizes", "as milled": "sizes", "spares": "parts"}
"""Tables of a job whose words are names of the piece."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One thing that may be written: as it is shown, the characters it puts in, and what it means."""

    label: str
    insert: str
    help: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Completion:
    """What may be written, in place of what stands from a column (from 1) to the cursor."""

    from_column: int
    items: tuple[Offer, ...] = ()


def complete(text: str, file: str, line: int, column: int, others: Mapping[str, str] | None = None) -> Completion:
    """What may stand at the cursor of a piece, job or shop file, finished or not. Line and column count from 1.

    `others` holds the other open texts: a job offers the names of its piece.
    """
    at = _offset(text, line, column)
    outlook = look(text, at)
    spot = outlook.spot
    if spot is None:
        return Completion(from_column=column)
    context = context_of(file, spot)
    if spot.wants_word:
        offers, typed = _words(file, context, spot, outlook, others or {}), spot.typed
    else:
        offers, typed = _values(file, context, spot, outlook)
    return Completion(from_column=column - len(typed), items=_ranked(offers, typed))


def _offset(text: str, line: int, column: int) -> int:
    start = 0
    for _ in range(line - 1):
        found = text.find("\n", start)
        if found < 0:
            return len(text)
        start = found + 1
    end = text.find("\n", start)
    return min(start + column - 1, len(text) if end < 0 else end)


def _ranked(offers: Iterable[Offer], typed: str) -> tuple[Offer, ...]:
    """What begins with the typed letters, then what holds them, then what looks like them."""
    wanted = typed.strip().casefold()
    once = list({offer.label: offer for offer in reversed(list(offers))}.values())[::-1]
    if not wanted:
        return tuple(once[:MOST_ITEMS])

    def rank(offer: Offer) -> float:
        label = offer.label.casefold()
        if label.startswith(wanted):
            return 0.0
        if any(word.startswith(wanted) for word in label.split()):
            return 1.0
        if wanted in label:
            return 2.0
        return 3.0 - likeness(wanted, label) if likeness(wanted, label) > 0.6 else 9.0

    ranked = sorted(((rank(offer), n, offer) for n, offer in enumerate(once)), key=lambda each: each[:2])
    return tuple(offer for score, _, offer in ranked if score < 9.0)[:MOST_ITEMS]


def _words(file: str, context: str, spot: Spot, outlook: Outlook, others: Mapping[str, str]) -> list[Offer]:
    present = set(spot.table.present if spot.table else ()) - {spot.typed.strip()}
    if context == "joint kind":
        return [
            Offer(label=kind, insert=f"{kind}: ", help=TABLES[kind.removesuffix(" in")].says)
            for kind in (*JOINT_KINDS, "meeting in")
        ]
    if context == "machines":
        return [Offer(label=kind, insert=f"{kind}: ", help=does) for kind, does in MACHINES if kind not in present]
    section = _TABLES_OF.get(str(spot.way[0])) if file.endswith(".job.yaml") and len(spot.way) == 1 else None
    if section:
        known = _names_in(others, ("sizes", "numbers") if section == "sizes" else ("parts",))
        return [Offer(label=name, insert=f"{name}: ", help="of the piece") for name in known if name not in present]
    table = TABLES.get(context)
    if table is None:
        return []
    return [
        Offer(label=word.word, insert=f"{word.word}: ", help=f"{word.says} Example: {word.example}")
        for word in table.words
        if word.word not in present
    ]


def _names_in(others: Mapping[str, str], sections: tuple[str, ...]) -> list[str]:
    pieces = [look(text, 0).names for file, text in others.items() if file.endswith(".piece.yaml")]
    return [name for names in pieces for section in sections for name in names.get(section, ())]


def _values(file: str, context: str, spot: Spot, outlook: Outlook) -> tuple[list[Offer], str]:
    """The values that may stand there, and the end of what is typed that they would take the place of."""
    word = next((str(step) for step in reversed(spot.way) if isinstance(step, str)), "")
    joint = is_joint(file, spot)
    plain = [Offer(label=each, insert=each, help=f"{word}: {each}") for each in choices_of(context, word, joint)]
    if joint and word == "by":
        plain += [Offer(label=f"{each} first", insert=f"{each} first") for each in outlook.names.get("parts", ())]
    plain += [Offer(label=each, insert=each, help="of the handbook") for each in from_handbook(context, word)]
    if joint and word in PARTS_UNDER:
        return [*_parts(outlook), *plain], spot.typed
    if (context, word) in PLACES_UNDER:
        return [*_places(outlook), *plain], spot.typed
    if plain or word in NO_EXPRESSION or not file.endswith(".piece.yaml"):
        return plain, spot.typed
    found = _LAST_NAME.search(spot.typed)
    typed = found.group() if found else ""
    return _in_expressions(spot, outlook, typed, spot.typed), typed


def _parts(outlook: Outlook) -> list[Offer]:
    """Every part by its name, and by the names of its copies."""
    out = [Offer(label=name, insert=name, help="a part, all its copies") for name in outlook.names.get("parts", ())]
    for name in outlook.names.get("parts", ()):
        count = outlook.values.get(("parts", name, "count"), "")
        hands = ("left", "right") if count in (PAIR, FOUR) else ()
        depths = ("front", "back") if count in (FRONT_AND_BACK, FOUR) else ()
        both = [f"{hand} {depth}" for hand in hands for depth in depths]
        out += [Offer(label=f"{side} {name}", insert=f"{side} {name}", help="some of its copies")
                for side in (*hands, *depths, *both) if count in COUNTS]  # fmt: skip
    return out


def _places(outlook: Outlook) -> list[Offer]:
    return [Offer(label=name, insert=name, help="a place") for name in outlook.names.get("places", ())]


def _in_expressions(spot: Spot, outlook: Outlook, typed: str, before: str) -> list[Offer]:
    """Names, functions, and behind a number units."""
    if not typed and re.search(r"[\d.] ?$", before):
        return [Offer(label=unit, insert=unit, help="a unit") for unit in UNITS]
    sized = spot.way[:1] in (("sizes",), ("numbers",))
    out = [
        Offer(label=name, insert=name, help=f"a {section[:-1]}{_value_of(outlook, section, name)}")
        for section in ("sizes", "numbers")
        for name in outlook.names.get(section, ())
        if (section, name) != spot.way[:2]
    ]
    if not sized:
        out += [*_places(outlook), *_parts(outlook)]
    return [
        *out,
        *(Offer(label=name, insert=f"{name}(", help=_HELP_OF_FUNCTIONS.format(name=name)) for name in FUNCTIONS),
    ]


def _value_of(outlook: Outlook, section: str, name: str) -> str:
    value = outlook.values.get((section, name, "is")) or outlook.values.get((section, name))
    return f": {value}" if value else ""


def hover(text: str, file: str, line: int, column: int) -> str:
    """What the word or name under the cursor means; empty where it is neither."""
    at = _offset(text, line, column)
    start, end = text.rfind("\n", 0, at) + 1, text.find("\n", at)
    row = text[start : len(text) if end < 0 else end]
    for found in re.finditer(r"[^\W\d_][^\W_]*(?: [^\W_]+)*", row):
        if found.start() <= at - start <= found.end():
            return _help_of(text, file, start, found, at - start)
    return ""


def _help_of(text: str, file: str, start: int, found: re.Match[str], at: int) -> str:
    """The help of a word of the language, or of the longest name in a run of words that the cursor stands in."""
    outlook = look(text, start + found.end())
    spot = outlook.spot
    context = context_of(file, spot) if spot else ""
    behind = text[start + found.end() : start + found.end() + 1]
    if spot is not None and behind == ":":
        outer = look(text, start + found.start()).spot
        table = TABLES.get(context_of(file, outer)) if outer else None
        word = table.word(found.group()) if table else None
        if word is not None:
            return f"{word.says} Example: {word.example}"
    named = {name: section for section, names in outlook.names.items() for name in names}
    inside = [name for name in named if re.search(rf"\b{re.escape(name)}\b", found.group())]
    for name in sorted(inside, key=len, reverse=True):
        for each in re.finditer(rf"\b{re.escape(name)}\b", found.group()):
            if found.start() + each.start() <= at <= found.start() + each.end():
                return f"{name}: a {named[name][:-1]}{_value_of(outlook, named[name], name)}"
    if spot is not None and context:
        word_name = next((str(step) for step in reversed(spot.way) if isinstance(step, str)), "")
        table = TABLES.get(context)
        word = table.word(word_name) if table else None
        if word is not None and f"`{found.group()}`" in word.says:
            return word.says
    return ""


__all__ = ["SIDES", "Completion", "Offer", "complete", "hover"]
