"""Mends of faults of the maker's text, as changes of it: what a mend says between backticks is what it writes.

A fault names a place, and between backticks what stands there; its mend names, between backticks too, what to write
instead. Where both are plain, the change is made from them; the rest have a maker of their own, by code. A mend that
says no more than what to think about gets no change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from batchwright.base.fault import Fault
from batchwright.base.mend import Mend
from batchwright.design.editing.makers import BY_CODE
from batchwright.design.editing.offers import Desk, plain_offers
from batchwright.design.editing.paper import Paper, read_paper
from batchwright.design.text.mistake import Mistake

MOST = 6
"""So many alternatives of one fault are offered."""


def with_mends(faults: tuple[Fault, ...], texts: Mapping[str, str]) -> tuple[Fault, ...]:
    """The faults with the mends that can be made with one press in these texts, by file."""
    papers: dict[str, Paper] = {}
    out = []
    for fault in faults:
        file = fault.place.file
        if fault.mends or not fault.place.line or file not in texts:
            out.append(fault)
            continue
        if file not in papers:
            papers[file] = _paper(texts[file], file)
        out.append(replace(fault, mends=_mends(fault, papers[file])))
    return tuple(out)


def _paper(text: str, file: str) -> Paper:
    return Paper(file, text, None, ()) if file.endswith(".csv") else read_paper(text, file)


def _mends(fault: Fault, paper: Paper) -> tuple[Mend, ...]:
    try:
        desk = Desk(fault, paper, paper.offset(fault.place.line, fault.place.column))
    except Mistake:
        return ()
    if fault.code in _ONLY_EXAMPLES or "name: value" in fault.mend:
        return ()
    maker = BY_CODE.get(fault.code, plain_offers)
    return tuple(dict.fromkeys(maker(desk)))[:MOST]


_ONLY_EXAMPLES = frozenset({
    "alias", "not-a-length", "not-a-share", "not-minutes", "not-money", "not-a-day", "not-quarters", "pair-wanted",
    "nothing-between", "size-from-drawing", "no-one-value", "use-not-known", "slope-with-unit", "at-without-axis",
    "point-has-no-line",
})  # fmt: skip
"""Codes whose mends show how such a thing is written, not what is to be written here."""
