"""Mends made where a fault or a finding is made: words of a statement to be set, and joints to be named."""

from __future__ import annotations

from collections.abc import Iterable

from batchwright.base.mend import Change, Mend, set_text
from batchwright.joinery.words import OPPOSITE
from batchwright.model.draft import DraftPart, JointKind, JointStatement, PartId

SECOND_WORD = {
    JointKind.HALVING: "with",
    JointKind.REST: "on",
    JointKind.SCREW: "to",
    JointKind.BUTTON: "to",
    JointKind.GLUE: "to",
}
"""The word that names the second part of a joint; `into` for all others."""


def asks(statement: JointStatement, *asked: tuple[str, str | None], say: str = "") -> tuple[Mend, ...]:
    """The mend that sets words of a statement; `pegs/diameter` is a word of its table. None takes a word out."""
    way = ("joints", statement.number - 1)
    shown = " and ".join(
        f"`{word.replace('/', ': ')}: {text}`" if text is not None else f"take `{word}` out" for word, text in asked
    )
    changes = tuple(set_text((*way, *word.split("/")), text) for word, text in asked)
    return (Mend(say=say or shown, changes=changes),)


def drop(statement: JointStatement, say: str) -> Mend:
    """The mend that takes a statement out."""
    return Mend(say=say, changes=(Change(do="remove joint", joint=statement.number - 1),))


def joint_text(kind: JointKind, of: str, to: str) -> str:
    """A statement as it is written: `{tenon: rail, into: leg}`."""
    return f"{{{kind.value}: {of}, {SECOND_WORD.get(kind, 'into')}: {to}}}"


def instead(statement: JointStatement, kind: JointKind) -> Mend:
    """The mend that makes another kind of joint of a statement, between the parts it names."""
    of, to = (f"[{words}]" if "," in words else words for words in statement.words)
    text = joint_text(kind, of, to)
    return Mend(say=f"`{kind.value}` instead", changes=(set_text(("joints", statement.number - 1), text),))


def join(kind: JointKind, of: str, to: str) -> Mend:
    """The mend that names a joint between two parts."""
    text = joint_text(kind, of, to)
    return Mend(say=f"`{text[1:-1]}`", changes=(Change(do="add joint", text=text),))


def on_the_drawn_copy(part: DraftPart, alike: Iterable[DraftPart], side: str) -> str:
    """The side that a side of a mirror image is on the copy that is drawn. `alike` holds the copies of the part."""
    drawn = next((each for each in alike if each.drawn), part)
    across = side in ("left", "right") and part.hand is not drawn.hand
    deep = side in ("front", "back") and part.depthwise != drawn.depthwise
    return OPPOSITE[side] if across or deep else side


def drawn_longer(part: DraftPart, alike: Iterable[DraftPart], side: str, by: str) -> tuple[Mend, ...]:
    """The mend that draws a part on at a side by an amount, where one number of its drawing does that."""
    drawn_side = on_the_drawn_copy(part, alike, side)
    if part.number or drawn_side not in part.grows:
        return ()
    change = Change(do="grow part", of=part.name, side=drawn_side, text=by)
    return (Mend(say=f"draw {part.id} longer at the {side} by {by}", changes=(change,)),)


def name_taken_out(statement: JointStatement, part: PartId, name: str) -> tuple[Mend, ...]:
    """The mend that takes a part out of a statement; none where the statement names it with others of its copies."""
    names = statement.words[0].split(", ")
    copies = [each for each in statement.of if each == part]
    if len(copies) != 1 or (name in names and part != name):
        return ()
    if names == [part]:
        return (drop(statement, "take the joint out"),)
    if part not in names:
        return ()
    change = set_text(("joints", statement.number - 1, statement.kind.value, names.index(part)), None)
    return (Mend(say=f"take {part} out of the joint", changes=(change,)),)
