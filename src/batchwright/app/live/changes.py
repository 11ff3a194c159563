"""From changes that were asked for to new texts; nothing is made where one of them cannot be."""

from __future__ import annotations

from collections.abc import Mapping

from batchwright.app.live.texts import in_its_style
from batchwright.base.fault import Fault
from batchwright.base.mend import Change
from batchwright.design.editing.apply import apply_changes


def changed_texts(
    texts: Mapping[str, str], piece: str, changes: tuple[Change, ...]
) -> tuple[dict[str, str], tuple[Fault, ...]]:
    """The texts that become of these, only those that differ; or the faults that stand in the way."""
    made, faults = apply_changes(texts, piece, changes)
    if made is None:
        return {}, faults
    typed = {change.file or piece for change in changes if change.do == "text"}
    styled = {file: in_its_style(text, texts[file]) if file in typed else text for file, text in made.items()}
    return {file: text for file, text in styled.items() if text != texts[file]}, faults
