"""Every word of the language: the one table that the reader, its faults and the guide are made from."""

from __future__ import annotations

from collections.abc import Iterable

from batchwright.base.fault import Fault
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Scalar
from batchwright.design.words import words_job, words_joints, words_piece
from batchwright.design.words.word import Table, Word

TABLES: dict[str, Table] = {
    table.key: table for table in (*words_piece.TABLES, *words_joints.TABLES, *words_job.TABLES)
}

JOINT_KINDS = words_joints.JOINT_KINDS
MACHINES = words_job.MACHINES


def words_in(context: str) -> tuple[str, ...]:
    """The words that may stand in one sort of table."""
    return tuple(word.word for word in TABLES[context].words)


def word_in(context: str, word: str) -> Word | None:
    """One word of a table."""
    return TABLES[context].word(word)


def check_words(mapping: Mapping, context: str, name: str = "") -> tuple[Fault, ...]:
    """Words that may not stand there, each with the nearest that may, and required ones that are missing.

    `name` is what the table belongs to in the maker's text (`part `leg``), for messages.
    """
    table = TABLES[context]
    about = name or table.title[0].lower() + table.title[1:]
    faults = [_unknown(key, table, about) for key, _ in mapping.entries if table.word(key.text) is None]
    faults += [
        Fault(
            code="word-missing",
            place=mapping.place,
            what=f"{about} does not say `{word.word}`.",
            mend=f"add it, for example `{word.example}`",
            why=word.says,
        )
        for word in table.words
        if word.required and mapping.key(word.word) is None
    ]
    return tuple(faults)


def check_one_of(scalar: Scalar, choices: Iterable[str], name: str) -> Fault | None:
    """What is wrong with a word that must be one of a few, if anything."""
    allowed = tuple(choices)
    if scalar.text.strip() in allowed:
        return None
    near = offer(scalar.text, allowed)
    return Fault(
        code="unknown-choice",
        place=scalar.place,
        what=f"`{name}: {scalar.text}` is not one of {listed(allowed)}.",
        mend=f"write {near}" if near else f"write one of {listed(allowed)}",
    )


def _unknown(key: Scalar, table: Table, about: str) -> Fault:
    near = offer(key.text, [word.word for word in table.words])
    elsewhere = [other.title for other in TABLES.values() if other is not table and other.word(key.text)]
    why = f"`{key.text}` is a word of: {', '.join(elsewhere[:3])}" if elsewhere and not near else ""
    return Fault(
        code="unknown-word",
        place=key.place,
        what=f"`{key.text}` is not a word of {about}.",
        mend=f"write {near}"
        if near
        else f"take it out; the words here are {listed((word.word for word in table.words), 30)}",
        why=why,
    )
