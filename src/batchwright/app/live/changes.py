"""From changes that were asked for to new texts; nothing is made where one of them cannot be."""

from __future__ import annotations

from collections.abc import Mapping

from batchwright.app.live.texts import in_its_style
from batchwright.base.fault import Fault, Place
from batchwright.base.mend import Change
from batchwright.design.editing.apply import apply_changes
from batchwright.design.text.read import LONGEST_TEXT
from batchwright.storage.folder import LARGEST_FILE


def changed_texts(
    texts: Mapping[str, str], piece: str, changes: tuple[Change, ...]
) -> tuple[dict[str, str], tuple[Fault, ...]]:
    """The texts that become of these, only those that differ; or the faults that stand in the way."""
    made, faults = apply_changes(texts, piece, changes)
    if made is None:
        return {}, faults
    typed = {change.file or piece for change in changes if change.do == "text"}
    styled = {file: in_its_style(text, texts[file]) if file in typed else text for file, text in made.items()}
    wrong = tuple(fault for file, text in styled.items() for fault in _unfit(file, text, texts[file]))
    if wrong:
        return {}, wrong
    return {file: text for file, text in styled.items() if text != texts[file]}, faults


def _unfit(file: str, text: str, before: str) -> list[Fault]:
    """Why a text could not be read again once it is saved."""
    if text == before:
        return []
    try:
        size = len(text.encode())
    except UnicodeEncodeError as half:
        return [
            Fault(
                code="half-a-character",
                place=Place(file, text[: half.start].count("\n") + 1),
                what="half of a character that is written as two stands alone; no file can hold it.",
                mend="take it out, or write the whole character.",
            )
        ]
    most = LONGEST_TEXT if file.endswith((".yaml", ".yml")) else LARGEST_FILE
    if (len(text) <= most and size <= LARGEST_FILE) or len(text) < len(before):
        return []
    what = f"the text would be {len(text):,} characters long; the most is {most:,}."
    return [Fault(code="too-long", place=Place(file), what=what, mend="split it: one piece to a file.")]
