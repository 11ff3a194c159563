"""In which order things that use one another can be worked out, and the loops that stand in the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake


def order_of(uses: Mapping[str, Iterable[str]]) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Names so ordered that each comes behind those it uses, and the loops found, each as its names in order of use.

    Names that are used but not defined are left out. What a loop touches is in neither result's way: the ordered names
    hold those of the loops too, at the place where the loop was met.
    """
    ordered: list[str] = []
    loops: list[tuple[str, ...]] = []
    done: set[str] = set()
    for start in uses:
        if start not in done:
            _visit(start, uses, done, ordered, loops)
    return tuple(ordered), tuple(loops)


def _visit(
    start: str,
    uses: Mapping[str, Iterable[str]],
    done: set[str],
    ordered: list[str],
    loops: list[tuple[str, ...]],
) -> None:
    path = {start: iter(uses[start])}
    while path:
        name, waiting = next(reversed(path.items()))
        following = next((other for other in waiting if other in uses and other not in done), None)
        if following is None:
            path.popitem()
            done.add(name)
            ordered.append(name)
        elif following in path:
            names = list(path)
            loops.append(tuple(names[names.index(following) :]))
        else:
            path[following] = iter(uses[following])


def loop_mistake(loop: tuple[str, ...], places: Mapping[str, Place], what: str) -> Mistake:
    """The fault of a loop: it names the whole way round and where each name stands. Raise it, or keep its faults."""
    first = min(loop, key=lambda name: places[name])
    turned = loop[loop.index(first) :] + loop[: loop.index(first)]
    way = " -> ".join([*turned, first])
    lines = ", ".join(f"`{name}` at line {places[name].line}" for name in turned)
    return mistake(
        "loop",
        places[first],
        f"the {what} `{first}` is worked from itself: {way}.",
        f"give one of them a value of its own ({lines})",
        "what is worked from others cannot come round to itself",
    )
