"""Two tables kept for the strength checks: test loads of furniture, and what raises or lowers strength."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.shelf import load_rows, number_in, source_in


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofLoad:
    """One test of a standard. `load` [N] is None where the source gives a range or none; `load_text` says which."""

    standard: str
    item: str
    test: str
    load: float | None
    load_text: str
    second_load_text: str
    cycles_text: str
    confidence: str
    source: Source
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Modifier:
    """One row on strength: a factor, a formula or a limit, as printed. `value` is None where it is not one number."""

    topic: str
    item: str
    condition: str
    value: float | None
    value_text: str
    unit: str
    formula: str
    source: Source
    note: str = ""


def _one_number(text: str) -> float | None:
    try:
        return number_in(text)
    except ValueError:
        return None


@cache
def _loads() -> tuple[ProofLoad, ...]:
    return tuple(
        ProofLoad(
            standard=row["standard"],
            item=row["item"],
            test=row["test"],
            load=_one_number(row["load_n"]),
            load_text=row["load_n"],
            second_load_text=row["second_load_n"],
            cycles_text=row["cycles"],
            confidence=row["confidence"],
            source=source_in(row),
            note=row["note"],
        )
        for row in load_rows("furniture_loads")
    )


@cache
def _modifiers() -> tuple[Modifier, ...]:
    return tuple(
        Modifier(
            topic=row["topic"],
            item=row["item"],
            condition=row["condition"],
            value=_one_number(row["value"]),
            value_text=row["value"],
            unit=row["unit"],
            formula=row["formula"],
            source=source_in(row),
            note=row["note"],
        )
        for row in load_rows("strength_modifiers")
    )


def proof_loads() -> tuple[ProofLoad, ...]:
    """Loads that furniture is tested with, by standard.

    Returns
    -------
    tuple of ProofLoad
        All rows [N]

    Notes
    -----
    Valid for planning only: a standard is bought and followed, not quoted from here.

    Source: the standards each row names; see its mark and confidence.

    Examples
    --------
    >>> proof_loads()[0].load
    1112.0
    """
    return _loads()


def modifiers(topic: str) -> tuple[Modifier, ...]:
    """Rows on one topic of strength.

    Parameters
    ----------
    topic : str
        Such as ``slope_of_grain`` or ``moisture_adjustment`` [text]

    Returns
    -------
    tuple of Modifier
        Its rows, in table order [as each says]

    Raises
    ------
    UnknownNameError
        If there is no such topic.

    Notes
    -----
    Valid as printed; each row states its condition.

    Source: Wood Handbook 2021 and 2010, NDS 2018, ASTM D245 and D2555; see each mark.

    Examples
    --------
    >>> len(modifiers("moisture_adjustment"))
    15
    """
    found = _by_topic().get(plain_name(topic), ())
    if found:
        return found
    raise UnknownNameError("topic", topic, nearest_names(topic, topics()) or topics())


@cache
def _by_topic() -> dict[str, tuple[Modifier, ...]]:
    """The rows by their topic's plain name."""
    found: dict[str, tuple[Modifier, ...]] = {}
    for each in _modifiers():
        name = plain_name(each.topic)
        found[name] = (*found.get(name, ()), each)
    return found


def topics() -> tuple[str, ...]:
    """Topics of the strength table.

    Returns
    -------
    tuple of str
        In table order [text]

    Notes
    -----
    Valid for `modifiers`.

    Source: Wood Handbook 2021 and 2010, NDS 2018, ASTM D245 and D2555; see each row's mark.

    Examples
    --------
    >>> topics()[:2]
    ('moisture_adjustment', 'slope_of_grain')
    """
    return tuple(dict.fromkeys(each.topic for each in _modifiers()))
