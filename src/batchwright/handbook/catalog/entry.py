"""The records of the catalog: what can be asked, with which parameters, and what comes back."""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum

from batchwright.base.source import Mark

Value = float | str
Values = Mapping[str, Value]


class AskedWronglyError(ValueError):
    """The values do not go together. `mend` says how to ask."""

    def __init__(self, what: str, mend: str) -> None:
        self.mend = mend
        super().__init__(what)


class Kind(Enum):
    """What a value measures. Numbers are in house units: degC, ratio, mm, rad, MPa, mm^3, kg, mm^2, N."""

    TEMPERATURE = "temperature"
    RATIO = "ratio"
    LENGTH = "length"
    ANGLE = "angle"
    STRESS = "stress"
    VOLUME = "volume"
    MASS = "mass"
    AREA = "area"
    FORCE = "force"
    NUMBER = "number"
    TEXT = "text"
    CHOICE = "choice"


UNITS: Mapping[Kind, str] = {
    Kind.TEMPERATURE: "C",
    Kind.RATIO: "",
    Kind.LENGTH: "mm",
    Kind.ANGLE: "rad",
    Kind.STRESS: "MPa",
    Kind.VOLUME: "mm^3",
    Kind.MASS: "kg",
    Kind.AREA: "mm^2",
    Kind.FORCE: "N",
    Kind.NUMBER: "",
    Kind.TEXT: "",
    Kind.CHOICE: "",
}
WORDS = (Kind.TEXT, Kind.CHOICE)


def shown(value: Value, kind: Kind) -> str:
    """Value as a person reads it: percent for ratios, degrees for angles, else house units.

    Parameters
    ----------
    value : float or str
        In house units, or words [as the kind says]
    kind : Kind
        What it measures [-]

    Returns
    -------
    str
        Number with its unit [text]

    Notes
    -----
    Valid for messages and plain listings; a door may print lengths the maker's way instead.

    Source: house rule.

    Examples
    --------
    >>> shown(0.98, Kind.RATIO), shown(25.4, Kind.LENGTH)
    ('98 %', '25.4 mm')
    """
    if isinstance(value, str):
        return value
    if kind is Kind.RATIO:
        return f"{value * 100.0:.6g} %"
    if kind is Kind.ANGLE:
        return f"{math.degrees(value):.6g} deg"
    return f"{value:.6g} {UNITS[kind]}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One thing that can be given: its kind, limits in house units, and what is taken if it is not said."""

    name: str
    kind: Kind
    title: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    above: bool = False
    """The low limit itself is not allowed."""
    choices: tuple[str, ...] = ()
    default: Value | None = None
    optional: bool = False

    @property
    def needed(self) -> bool:
        """Whether it must be given."""
        return self.default is None and not self.optional

    @property
    def limits(self) -> str:
        """Its limits in words, empty if it has none."""
        if self.choices:
            return " | ".join(self.choices)
        low = "" if self.low is None else shown(self.low, self.kind)
        high = "" if self.high is None else shown(self.high, self.kind)
        if low and high:
            return f"above {low}, at most {high}" if self.above else f"{low} to {high}"
        if low:
            return f"above {low}" if self.above else f"at least {low}"
        return f"at most {high}" if high else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One value of an answer, in house units, with where it comes from. None is a gap in the source."""

    name: str
    value: Value | None
    kind: Kind
    unit: str = ""
    source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the handbook says: single results, or rows of words under columns, and notes."""

    results: tuple[Result, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One formula or table of the handbook. `covers` names the functions or packaged tables behind it."""

    name: str
    title: str
    is_table: bool
    parameters: tuple[Parameter, ...]
    source: str
    mark: Mark
    valid_for: str
    covers: tuple[str, ...]
    work: Callable[[Values], Answer]
    example: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the docstring of a formula says of it."""

    title: str
    valid_for: str
    source: str


def told_of(function: Callable[..., object]) -> Told:
    """Title, validity and source as the docstring of a formula states them, so that they are said once.

    Parameters
    ----------
    function : callable
        A public formula of the handbook [-]

    Returns
    -------
    Told
        Its first line, its ``Valid for`` sentences and its ``Source`` [text]

    Notes
    -----
    Valid for docstrings in the house form; empty texts where docstrings are stripped.

    Source: house rule, a formula states its source and validity in its docstring.

    Examples
    --------
    >>> from batchwright.handbook.density import density
    >>> told_of(density).source
    'Wood Handbook 2021, eq. 4-14 (read)'
    """
    text = inspect.getdoc(function) or ""
    title = text.split("\n", 1)[0].rstrip(".")
    valid = re.search(r"^Valid (.*?)(?:\n\n|\Z)", text, re.S | re.M)
    source = re.search(r"^Source: (.*?)(?:\n\n|\Z)", text, re.S | re.M)
    return Told(
        title=title,
        valid_for=" ".join(valid.group(1).replace(":math:", "").split()) if valid else "",
        source=" ".join(source.group(1).split()).rstrip(".") if source else "",
    )


def number(values: Values, name: str) -> float:
    """Number given for a parameter.

    Parameters
    ----------
    values : mapping
        The values given, defaults filled in [house units]
    name : str
        Name of the parameter [text]

    Returns
    -------
    float
        The number [house units]

    Raises
    ------
    TypeError
        If the parameter holds words: a mistake in the catalog.

    Notes
    -----
    Valid after `evaluate` has looked at the values.

    Source: house rule.

    Examples
    --------
    >>> number({"width": 300.0}, "width")
    300.0
    """
    value = values[name]
    if isinstance(value, str):
        raise TypeError(f"{name} holds words")
    return float(value)


def words(values: Values, name: str) -> str:
    """Words given for a parameter, empty if none were.

    Parameters
    ----------
    values : mapping
        The values given, defaults filled in [house units]
    name : str
        Name of the parameter [text]

    Returns
    -------
    str
        The words [text]

    Notes
    -----
    Valid after `evaluate` has looked at the values.

    Source: house rule.

    Examples
    --------
    >>> words({"species": "teak"}, "species")
    'teak'
    """
    return str(values.get(name, ""))
