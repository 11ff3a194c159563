"""Undo and redo: labelled steps, each a splice of one or more texts, so that a long history stays small."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

TYPING = "typing"
TOGETHER = 2.0
"""Typing that goes on within this time is one step [s]."""
MOST_STEPS = 300
MOST_CHARACTERS = 4_000_000
"""Of all steps together: the draft that holds them is written at every change, and must be read again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice:
    """From `at`, the characters `old` became `new`."""

    at: int
    old: str
    new: str

    def forth(self, text: str) -> str:
        """The text after."""
        return self._swapped(text, self.old, self.new)

    def back(self, text: str) -> str:
        """The text before."""
        return self._swapped(text, self.new, self.old)

    def _swapped(self, text: str, gone: str, come: str) -> str:
        if text[self.at : self.at + len(gone)] != gone:
            raise ValueError("the text is not the one this step was made on")
        return text[: self.at] + come + text[self.at + len(gone) :]


def splice(before: str, after: str) -> Splice:
    """What differs between two texts, from the first difference to the last."""
    most = min(len(before), len(after))
    start = next((i for i in range(most) if before[i] != after[i]), most)
    end = next((i for i in range(most - start) if before[-1 - i] != after[-1 - i]), most - start)
    return Splice(at=start, old=before[start : len(before) - end], new=after[start : len(after) - end])


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing the maker did: its label, when [s], and what it did to each file. A file taken into the desk by a
    step was not there before: its splice is from nothing."""

    label: str
    when: float
    splices: tuple[tuple[str, Splice], ...]

    @property
    def length(self) -> int:
        """Characters that it took away and put in."""
        return sum(len(one.old) + len(one.new) for _, one in self.splices)

    def as_plain(self) -> dict[str, object]:
        """The step as plain values."""
        spliced = [[file, one.at, one.old, one.new] for file, one in self.splices]
        return {"label": self.label, "when": self.when, "splices": spliced}

    @staticmethod
    def from_plain(plain: Mapping[str, Any]) -> Step:
        """A step out of plain values. Raises KeyError, TypeError or ValueError where they are none."""
        spliced = tuple(
            (str(file), Splice(at=int(at), old=str(old), new=str(new))) for file, at, old, new in plain["splices"]
        )
        return Step(label=str(plain["label"]), when=float(plain["when"]), splices=spliced)


def step_between(label: str, when: float, texts: tuple[Mapping[str, str], Mapping[str, str]]) -> Step:
    """The step from the texts before to those after."""
    before, after = texts
    changed = tuple(
        (file, splice(before.get(file, ""), text)) for file, text in after.items() if before.get(file, "") != text
    )
    return Step(label=label, when=when, splices=changed)


@dataclass(slots=True)
class History:
    """Steps done, and steps undone that may be done again."""

    done: list[Step] = field(default_factory=list)
    undone: list[Step] = field(default_factory=list)

    @property
    def undo(self) -> str | None:
        """The label of the step that an undo takes back."""
        return self.done[-1].label if self.done else None

    @property
    def redo(self) -> str | None:
        """The label of the step that a redo makes again."""
        return self.undone[-1].label if self.undone else None

    def add(self, step: Step, texts: Mapping[str, str]) -> None:
        """Note a step; typing that follows typing in the same file goes into one. `texts` are those after it."""
        last = self.done[-1] if self.done else None
        if last is not None and not self.undone and _together(last, step):
            file = step.splices[0][0]
            first = last.splices[0][1].back(step.splices[0][1].back(texts[file]))
            merged = splice(first, texts[file])
            self.done[-1] = replace(last, when=step.when, splices=((file, merged),))
        else:
            self.done.append(step)
        self.undone.clear()
        del self.done[:-MOST_STEPS]
        self._shorten()

    def _shorten(self) -> None:
        """Let go of the oldest steps where all are too long together; the last one stays."""
        length = sum(step.length for step in self.done)
        gone = 0
        while length > MOST_CHARACTERS and gone < len(self.done) - 1:
            length -= self.done[gone].length
            gone += 1
        del self.done[:gone]


def _together(last: Step, step: Step) -> bool:
    alike = last.label == step.label == TYPING and len(last.splices) == len(step.splices) == 1
    return alike and last.splices[0][0] == step.splices[0][0] and 0.0 <= step.when - last.when <= TOGETHER


def apply(texts: dict[str, str], step: Step, forth: bool) -> dict[str, str]:
    """The texts after a step is made again, or taken back. Raises ValueError where they are not those of the step."""
    out = dict(texts)
    for file, one in step.splices:
        out[file] = one.forth(out.get(file, "")) if forth else one.back(out.get(file, ""))
    return out
