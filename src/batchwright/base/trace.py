"""Where a number came from: who decided it, by which rule, on what authority."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final


class By(Enum):
    """Who decided."""

    MAKER = "the maker"
    JOB = "the job"
    SHOP = "the shop"
    RULE = "a rule"
    DEFAULT = "a default"
    GEOMETRY = "the drawing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """Why a value is what it is. `rule` names the rule (JR13) or the file's word; `source` repeats its mark."""

    by: By
    rule: str = ""
    why: str = ""
    source: str = ""

    def __str__(self) -> str:
        head = f"{self.by.value} {self.rule}".strip() if self.rule else self.by.value
        tail = f": {self.why}" if self.why else ""
        cite = f" [{self.source}]" if self.source else ""
        return f"{head}{tail}{cite}"


@dataclass(frozen=True, slots=True)
class Sized:
    """A completed number with its trace. House units (mm, radians, or a plain count)."""

    value: float
    trace: Trace


class Missing(Enum):
    """A hole in a draft: not said yet."""

    MISSING = "missing"

    def __repr__(self) -> str:
        return "MISSING"


MISSING: Final = Missing.MISSING
