"""Makes a catalog entry out of one formula."""

from __future__ import annotations

from collections.abc import Callable

from batchwright.base.source import Mark
from batchwright.handbook.catalog.entry import Answer, Entry, Parameter, Result, Values, told_of


def mark_of(source: str) -> Mark:
    """How surely a formula is known, from the words of its source.

    Parameters
    ----------
    source : str
        The ``Source`` line of a docstring [text]

    Returns
    -------
    Mark
        Read, from memory, a house rule, or derived (closed forms and definitions) [-]

    Notes
    -----
    Valid for docstrings in the house form, where what was read stands first.

    Source: house rule.

    Examples
    --------
    >>> mark_of("Wood Handbook 2021, eq. 4-5 (read).").value
    'read'
    """
    if "read" in source:
        return Mark.READ
    if "memory" in source:
        return Mark.MEMORY
    return Mark.HOUSE if source.startswith("house rule") else Mark.DERIVED


def plain_entry(
    function: Callable[..., float], result: Result, parameters: tuple[Parameter, ...], example: str
) -> Entry:
    """Entry whose parameters go to one formula as they stand, told by the formula's own docstring.

    Parameters
    ----------
    function : callable
        The formula; its arguments are the parameters in order [-]
    result : Result
        Name, kind and unit of what it returns [-]
    parameters : tuple of Parameter
        One for each argument, in order [-]
    example : str
        What a person may type after ``handbook`` [text]

    Returns
    -------
    Entry
        The entry [-]

    Notes
    -----
    Valid for formulae that return one number.

    Source: house rule.

    Examples
    --------
    >>> from batchwright.handbook.catalog.entry import Kind
    >>> from batchwright.handbook.lumber import waste_of_factor
    >>> factor = Parameter(name="factor", kind=Kind.NUMBER, title="factor on the net amount", low=1.0)
    >>> result = Result(name="waste", value=None, kind=Kind.RATIO)
    >>> plain_entry(waste_of_factor, result, (factor,), "waste_of_factor factor=1.3").covers
    ('lumber.waste_of_factor',)
    """
    told = told_of(function)

    def work(values: Values) -> Answer:
        value = function(*(values[each.name] for each in parameters if each.name in values))
        shown_result = Result(name=result.name, value=value, kind=result.kind, unit=result.unit, source=told.source)
        return Answer(results=(shown_result,))

    mark = mark_of(told.source)
    module = function.__module__.rsplit(".", 1)[1]
    return Entry(
        name=function.__name__, title=told.title, is_table=False, parameters=parameters, source=told.source,
        mark=mark, valid_for=told.valid_for, covers=(f"{module}.{function.__name__}",), work=work, example=example,
    )  # fmt: skip
