"""What mends a thin wall: by the side it lies on, with the amount, and only what does mend it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from batchwright.base.trace import By
from batchwright.joinery.meeting.seat import SIDES, side_of_word
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import BENCH, HAIR, OPPOSITE, at_least, exactly, rounded, say, written

NEAR = 1.15
"""Up to this share over its limit a wall is near it."""
OFF = BENCH
"""A mortise less than this off the middle lies on it [mm]."""
SLACK = 1.02
"""Amounts are told a little larger: faces lean, and lengths are measured along the grain."""
LEAST_LENGTH, LEAST_THICK, LEAST_SHOULDER = 6.0, 4.0, 0.5
"""No mend makes a tenon shorter, thinner, or its shoulder less than these [mm]."""
LEAST_WIDTH = 0.4
"""Nor narrower than this share of its part."""


@dataclass(frozen=True, slots=True)
class Wall:
    """Wood measured at a mortise [mm]; `side` of the joint and its word in the piece; none beyond the bottom."""

    name: str
    value: float
    limit: float
    rule: str
    side: str = ""
    word: str = ""
    own: bool = False
    """Whether it is wood of the part that a loose tenon is let into at its end."""


def mend_of(plan: Plan, wall: Wall, walls: Mapping[str, Wall], bench: Bench) -> str:
    """What clears the finding: said with the side, the way and the amount."""
    if wall.rule == "JR16":
        return _bottom(plan, wall, bench)
    offers = _at_end(plan, wall, bench) if wall.side[1] == "x" else _at_side(plan, wall, walls, bench)
    return ", or ".join([*offers, _more_wood(plan, wall, walls, bench)])


def off_middle(plan: Plan, wall: Wall, walls: Mapping[str, Wall], bench: Bench) -> str:
    """How far a mortise lies off the middle of its part, across; nothing where it lies on it."""
    other = _opposite(wall, walls)
    if wall.side[1:] != "y" or other is None or other.value - wall.value < 2.0 * OFF:
        return ""
    off = say((other.value - wall.value) / 2.0, bench.units)
    return f"; it lies {off} off the middle there, and {off} to the {OPPOSITE[wall.word]} would centre it"


def asked_sides(plan: Plan, bench: Bench) -> frozenset[str]:
    """Sides on which the maker gave a shoulder."""
    found: set[str] = set()
    for word, _ in plan.site.ask.shoulders:
        side = None if word == "all" else side_of_word(plan.seat, word, bench.compass)
        found |= set(SIDES) if word == "all" else {side} if side else set()
    return frozenset(found)


def _opposite(wall: Wall, walls: Mapping[str, Wall]) -> Wall | None:
    return next(
        (each for each in walls.values() if each.word == OPPOSITE.get(wall.word) and each.own is wall.own), None
    )


def _need(wall: Wall) -> float:
    """Wood to be gained: so far past the limit that it no longer counts as near [mm]."""
    return (wall.limit * NEAR - wall.value) * SLACK


def _bottom(plan: Plan, wall: Wall, bench: Bench) -> str:
    shorter = plan.size("length") - _need(wall)
    offers = [] if plan.meets else ["let it go through (`end: through`)"]
    if shorter < LEAST_LENGTH:
        offers.append(f"make {plan.site.b.part.id} thicker there by {at_least(_need(wall), bench.units)}")
    else:
        offers.insert(0, f"a shorter tenon (`length: {written(shorter, bench.units, up=False)}`)")
    return ", or ".join(offers)


def _shoulder(plan: Plan, side: str) -> float:
    """Wood of the tenoned part beside its tenons on a side [mm]."""
    axis = 0 if side[1] == "x" else 1
    return plan.seat.edge(side) - (plan.high[axis] if side[0] == "+" else -plan.low[axis])


def _at_end(plan: Plan, wall: Wall, bench: Bench) -> list[str]:
    """The mortise's end: a wider shoulder on that side, or a narrower tenon."""
    need, asked, width = _need(wall), asked_sides(plan, bench), plan.high[0] - plan.low[0]
    wide, units = plan.sized("width"), bench.units
    given = wide is not None and wide.trace.by is By.MAKER
    centred = given and not asked & {"+x", "-x"} and not plan.haunch_side
    left = width - need * (2.0 if centred else 1.0)
    if left < max(LEAST_WIDTH * plan.seat.width, LEAST_LENGTH):
        return []
    narrower = f"`width: {written(left, units, up=False)}`"
    beside = written(_shoulder(plan, wall.side) + need, units)
    wider = f"`shoulders: {{{wall.word}: {beside}}}`"
    if given and wall.side in asked:
        return [f"a narrower tenon with a wider shoulder at the {wall.word} ({narrower} and {wider})"]
    if given or plan.haunch_side == wall.side:
        return [f"a narrower tenon ({narrower})"]
    return [f"a narrower tenon: a shoulder of {beside} at the {wall.word} ({wider})"]


def _at_side(plan: Plan, wall: Wall, walls: Mapping[str, Wall], bench: Bench) -> list[str]:
    """Beside the mortise: the tenon moved away, or a thinner one."""
    asked, units = asked_sides(plan, bench), bench.units
    need, other = _need(wall), _opposite(wall, walls)
    away = OPPOSITE[wall.word]
    opposite = ("-" if wall.side[0] == "+" else "+") + wall.side[1]
    spare = other.value - other.limit if other is not None else 0.0
    offers = []
    here, there = _shoulder(plan, wall.side), _shoulder(plan, opposite)
    new, left = rounded(here + need, units), rounded(there - need, units, up=False)
    moved = there - left if opposite in asked else new - here
    if spare >= moved - HAIR and there - moved >= LEAST_SHOULDER and not {wall.side, opposite} <= asked:
        beside = (away, written(left, units)) if opposite in asked else (wall.word, written(new, units))
        way = f"`shoulders: {{{beside[0]}: {beside[1]}}}`"
        offers.append(f"move the tenon to the {away} by {say(moved, units)} ({way})")
    thinner = _thinner(plan, (need, wall.side in asked, opposite in asked), bench)
    return [*offers, thinner] if thinner else offers


def _thinner(plan: Plan, case: tuple[float, bool, bool], bench: Bench) -> str:
    """A tenon that leaves the wall: the largest of the shop's cutters, where thinning it moves that cheek."""
    need, here, there = case
    if here or len({bar.centre[1] for bar in plan.bars}) > 1:
        return ""
    most = plan.size("thickness") - need * (1.0 if there else 2.0)
    widths = [width for width in rules.widths_in(bench.shop, bench.units) if width <= most + 0.01]
    if not widths or max(widths) < LEAST_THICK:
        return ""
    return f"a thinner tenon (`thickness: {exactly(max(widths), bench.units)}`)"


def _more_wood(plan: Plan, wall: Wall, walls: Mapping[str, Wall], bench: Bench) -> str:
    """A change of the drawing: more wood on that side, or the tenoned part moved off it."""
    amount, a, b = at_least(_need(wall), bench.units), plan.site.a.part.id, plan.site.b.part.id
    if wall.own:
        return f"draw {a} wider at the {wall.word} by {amount}"
    other = _opposite(wall, walls)
    more = f"draw {b} {'longer' if wall.rule == 'JR17' else 'wider'} at the {wall.word} by {amount}"
    free = other is None or other.value - other.limit >= rounded(_need(wall), bench.units)
    return f"{more}, or {a} further to the {OPPOSITE[wall.word]} by {amount}" if free else more
