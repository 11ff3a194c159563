"""Which table of the language's words a spot of a file stands in."""

from __future__ import annotations

from batchwright.design.completion.outlook import Spot
from batchwright.design.words.wording import JOINT_NESTED, NESTED
from batchwright.design.words.words import JOINT_KINDS

_SECTIONS = {"sizes": "size", "numbers": "size", "places": "place", "parts": "part"}
_OF_SHOP = {"cutters": "cutter", "chisels": "chisel", "guides": "guide", "clamps": "clamp", "machines": "machine"}
_SHOP_TABLES = ("allowances", "fits", "tolerances", "walls")


def is_joint(file: str, spot: Spot) -> bool:
    """Whether the spot is in a joint statement."""
    return file.endswith(".piece.yaml") and spot.way[:1] == ("joints",)


def context_of(file: str, spot: Spot) -> str:
    """The key of the table whose words the spot takes, or the table of the word whose value it takes.

    `joint kind` where a joint does not say yet what it is; empty where names of the maker's own stand.
    """
    words = [step for step in spot.way if isinstance(step, str)]
    if file.endswith(".job.yaml"):
        return "job" if len(words) == (0 if spot.wants_word else 1) else ""
    if file.endswith(".cut.yaml"):
        return ""
    if not file.endswith(".piece.yaml"):
        return _in_shop(words, spot)
    above = words if spot.wants_word else words[:-1]
    if not above:
        return "piece"
    if above[0] == "joints":
        return _in_joint(above[1:], spot)
    if len(above) < 2 or above[0] not in _SECTIONS:
        return ""
    return _down(_SECTIONS[above[0]], above[2:])


def _down(context: str, words: list[str]) -> str:
    for word in words:
        context = (JOINT_NESTED if context == "joint" else NESTED.get(context, {})).get(word, "")
    return context


def _in_joint(words: list[str], spot: Spot) -> str:
    if not words:
        present = spot.table.present if spot.table else []
        kind = next((word for word in present if word in (*JOINT_KINDS, "meeting in")), "")
        return kind.removesuffix(" in") if kind else "joint kind" if spot.wants_word else ""
    return _down("joint", words)


def _in_shop(words: list[str], spot: Spot) -> str:
    above = words if spot.wants_word else words[:-1]
    if not above:
        return "shop"
    if above[0] == "machines":
        return "machines" if len(above) == 1 else "machine"
    return above[0] if above[0] in _SHOP_TABLES else _OF_SHOP.get(above[0], "")
