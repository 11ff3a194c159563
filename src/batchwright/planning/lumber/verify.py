"""Checks a board plan from its final geometry in millimetres; shares no code with what lays, prices or bounds it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from batchwright.base.finding import Finding, Grade
from batchwright.model.stock import Blank, Board, BoardPlan, LaidBlank, LumberPlan, SectionCut, Strip

SLACK = 0.01
"""Differences below this are rounding [mm]."""
UNDER_NOMINAL = 25.4 / 16.0
"""A board may measure this much under nominal where a blank does not say what thickness it needs [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """What every plan must keep to: widths of the saw cuts, and what is cut off each end of a board [mm]."""

    kerf: float
    end_trim: float


def check_layout(plan: LumberPlan, cuts: Cuts) -> tuple[Finding, ...]:
    """Everything wrong with a plan: one finding each, none if it can be cut as it stands."""
    return tuple(
        Finding(
            code="board-plan-wrong",
            grade=Grade.FAILS,
            what=what,
            mend="do not cut by this plan; report it.",
        )
        for what in _wrong(plan, cuts)
    )


def _wrong(plan: LumberPlan, cuts: Cuts) -> Iterator[str]:
    by_name = {board.name: board for board in plan.boards}
    used = Counter(each.board for each in plan.plans)
    for name, times in used.items():
        if times > 1:
            yield f"board {name} is planned {times} times."
        if name not in by_name:
            yield f"no board is called {name}."
    if plan.kerf < cuts.kerf - SLACK:
        yield f"the plan leaves {plan.kerf:.2f} mm for the saw; it takes {cuts.kerf:.2f} mm."
    yield from _counts(plan)
    yield from _totals(plan, by_name)
    for each in plan.plans:
        if each.board in by_name:
            yield from _board(plan, each, by_name[each.board], cuts)


def _counts(plan: LumberPlan) -> Iterator[str]:
    got = Counter(laid.blank for each in plan.plans for laid in _all_laid(each))
    missing = Counter[int]()
    for short in plan.short:
        missing[short.blank] += short.count
    for index in sorted({*got, *missing}):
        if not 0 <= index < len(plan.blanks):
            yield f"blank {index} is not on the list."
    for index, blank in enumerate(plan.blanks):
        if got[index] + missing[index] != blank.count:
            told = f"{got[index]} laid, {missing[index]} told as short"
            yield f"{blank.label}{_stave(blank)}: {blank.count} wanted, {told}."


def _totals(plan: LumberPlan, by_name: dict[str, Board]) -> Iterator[str]:
    used = [by_name[name] for name in {each.board for each in plan.plans} if name in by_name]
    area = sum(board.length * (board.width + board.far_width) / 2.0 for board in used)
    if abs(area - plan.area_used) > 1.0:
        yield f"the boards used have {area:.0f} mm2; the plan says {plan.area_used:.0f}."
    if plan.cost is not None:
        cost = sum(board.price or 0.0 for board in used)
        if abs(cost - plan.cost) > 0.005:
            yield f"the boards used cost {cost:.2f}; the plan says {plan.cost:.2f}."


def _all_laid(each: BoardPlan) -> Iterator[LaidBlank]:
    for section in each.sections:
        for strip in section.strips:
            yield from strip.laid


def _stave(blank: Blank) -> str:
    return f" ({blank.stave})" if blank.stave else ""


def _board(plan: LumberPlan, each: BoardPlan, board: Board, cuts: Cuts) -> Iterator[str]:
    kerf = plan.kerf
    at = cuts.end_trim
    for number, section in enumerate(each.sections, start=1):
        where = f"board {board.name}, section {number}"
        gap = kerf if number > 1 else 0.0
        if section.x < at + gap - SLACK:
            yield f"{where}: starts at {section.x:.2f} mm, before {at + gap:.2f} mm."
        at = section.x + section.length
        yield from _section(section, kerf, where)
    if at > board.length - cuts.end_trim + SLACK:
        yield f"board {board.name}: cut up to {at:.2f} mm; its sound end is at {board.length - cuts.end_trim:.2f} mm."
    laid = list(_all_laid(each))
    for one in laid:
        if 0 <= one.blank < len(plan.blanks):
            yield from _piece(one, plan.blanks[one.blank], board)
    yield from _apart(laid, plan.blanks, board, kerf)


def _section(section: SectionCut, kerf: float, where: str) -> Iterator[str]:
    top = None
    for strip in section.strips:
        if top is not None and strip.y < top + kerf - SLACK:
            yield f"{where}: two strips are closer than the saw is wide."
        top = strip.y + strip.width
        yield from _strip(strip, section, kerf, where)
    if not section.strips:
        yield f"{where}: gives nothing."


def _strip(strip: Strip, section: SectionCut, kerf: float, where: str) -> Iterator[str]:
    end = None
    for one in strip.laid:
        if one.x < section.x - SLACK or one.x + one.length > section.x + section.length + SLACK:
            yield f"{where}: a blank reaches out of its section."
        if one.y < strip.y - SLACK or one.y + one.width > strip.y + strip.width + SLACK:
            yield f"{where}: a blank reaches out of its strip."
        if end is not None and one.x < end + kerf - SLACK:
            yield f"{where}: two blanks in a strip are closer than the saw is wide."
        end = one.x + one.length
    if not strip.laid:
        yield f"{where}: a strip gives nothing."


def _piece(one: LaidBlank, blank: Blank, board: Board) -> Iterator[str]:
    what = f"board {board.name}: {blank.label}{_stave(blank)} at {one.x:.1f} mm"
    if one.length < blank.length - SLACK or one.width < blank.width - SLACK:
        size = f"{blank.length:.2f} x {blank.width:.2f} mm"
        yield f"{what} is laid {one.length:.2f} x {one.width:.2f} mm, but must be {size}."
    for along in (one.x, one.x + one.length):
        edge = board.width + (board.far_width - board.width) * along / board.length
        if one.y < -SLACK or one.y + one.width > edge + SLACK:
            yield f"{what} reaches over the board's edge."
            break
    for defect in board.defects:
        along_clear = one.x + one.length <= defect.start + SLACK or one.x >= defect.end - SLACK
        across_clear = one.y + one.width <= defect.low + SLACK or one.y >= defect.high - SLACK
        if not along_clear and not across_clear:
            yield f"{what} lies on {defect.kind or 'a defect'} at {defect.start:.1f} mm."
    needed = blank.least_thickness or blank.thickness - UNDER_NOMINAL
    if board.thickness < needed - SLACK - 1e-6:
        yield f"{what}: the board is {board.thickness:.2f} mm thick, {needed:.2f} mm are needed."
    if blank.species != board.species:
        yield f"{what}: the board is {board.species}, the part is of {blank.species}."
    if blank.sawn and blank.sawn != board.sawn:
        yield f"{what}: wants {blank.sawn} sawn stock, the board is {board.sawn or 'not said to be'}."


def _apart(laid: list[LaidBlank], blanks: tuple[Blank, ...], board: Board, kerf: float) -> Iterator[str]:
    """No two blanks overlap, nor lie closer than a kerf, wherever the plan says they are."""
    for index, one in enumerate(laid):
        for other in laid[index + 1 :]:
            along = max(one.x - other.x - other.length, other.x - one.x - one.length)
            across = max(one.y - other.y - other.width, other.y - one.y - one.width)
            if max(along, across) < kerf - SLACK:
                yield (
                    f"board {board.name}: {_label(one, blanks)} at {one.x:.1f} mm and {_label(other, blanks)} at "
                    f"{other.x:.1f} mm overlap, or leave no room for the saw."
                )


def _label(one: LaidBlank, blanks: tuple[Blank, ...]) -> str:
    return blanks[one.blank].label if 0 <= one.blank < len(blanks) else "a blank"
