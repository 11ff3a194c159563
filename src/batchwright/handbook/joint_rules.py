"""Rules of joint sizes: what the rule says, its numbers, and how surely either is known. Rules here do nothing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Mark, Source
from batchwright.handbook.names import UnknownNameError, nearest_names
from batchwright.handbook.shelf import MARKS, Row, load_rows, number_in, source_in


@dataclass(frozen=True, slots=True, kw_only=True)
class JointRule:
    """One rule. `source.mark` is of the rule, `number_mark` of its numbers; the two may differ."""

    id: str
    topic: str
    rule: str
    expression: str
    low: float | None
    high: float | None
    unit: str
    source: Source
    number_mark: Mark
    note: str = ""

    def __str__(self) -> str:
        numbers = "" if self.number_mark is self.source.mark else f"; numbers: {self.number_mark.value}"
        return f"{self.id} {self.topic}: {self.rule} [{self.source}{numbers}]"


def _rule_of(row: Row) -> JointRule:
    return JointRule(
        id=row["id"],
        topic=row["topic"],
        rule=row["rule"],
        expression=row["expression"],
        low=number_in(row["low"]),
        high=number_in(row["high"]),
        unit=row["unit"],
        source=source_in(row),
        number_mark=MARKS[row["number_mark"]],
        note=row["note"],
    )


@cache
def _rules() -> tuple[JointRule, ...]:
    return tuple(_rule_of(row) for row in load_rows("joint_rules"))


def joint_rules() -> tuple[JointRule, ...]:
    """Every joint rule, in order of its number.

    Returns
    -------
    tuple of JointRule
        45 rules [as each says]

    Notes
    -----
    Valid as defaults that the piece, the job or the shop may override.

    Source: the trade books and papers each rule names; see its mark.

    Examples
    --------
    >>> len(joint_rules())
    45
    """
    return _rules()


def joint_rule(rule_id: str) -> JointRule:
    """One joint rule by its number.

    Parameters
    ----------
    rule_id : str
        Such as ``JR13`` [text]

    Returns
    -------
    JointRule
        The rule with its numbers, unit, source and marks [as its `unit` says]

    Raises
    ------
    UnknownNameError
        If there is no such rule.

    Notes
    -----
    Valid as a default that the piece, the job or the shop may override.

    Source: the trade book or paper the rule names; see its mark.

    Examples
    --------
    >>> print(joint_rule("JR13"))
    JR13 tenon length in leg: two thirds of leg, or as deep as leaves the wall [(common practice, no source)]
    """
    found = _by_number().get(rule_id.upper())
    if found is None:
        raise UnknownNameError("joint rule", rule_id, nearest_names(rule_id, _by_number()))
    return found


@cache
def _by_number() -> dict[str, JointRule]:
    return {each.id: each for each in _rules()}
