"""Board plans: money, area, bound and seconds on the demo and on made-up lots, against a careful layout by hand.

By hand means: a person with chalk who takes boards in some order and goes along each one, always with the longest
part still wanted that finds a place, then fills the width beside it; the best of five orders of the boards.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from batchwright.model.piece import KindId
from batchwright.model.shop import Machine, Shop, default
from batchwright.model.stock import Blank, Board, Defect
from batchwright.planning.lumber import LumberRequest, Stop, plan_lumber
from batchwright.planning.lumber.problem import THIRTY_SECOND, Item, Problem, Stock, set_problem

HERE = Path(__file__).resolve().parent
INCH = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Blanks to be got out of boards, and what is known of the least cost from elsewhere."""

    name: str
    blanks: tuple[Blank, ...]
    boards: tuple[Board, ...]
    shop: Shop
    known: str = ""


def demo() -> Lot:
    """The armchairs of the examples."""
    from batchwright.app.load import load
    from batchwright.joinery.complete import complete_piece
    from batchwright.planning.cutting import Request, list_parts

    loaded = load(HERE.parent / "examples" / "terrace-armchair" / "terrace.job.yaml").thing
    assert loaded is not None
    piece = complete_piece(loaded.draft, loaded.shop)
    request = Request(piece=piece, shop=loaded.shop, copies=loaded.job.copies, spares=loaded.job.spares)
    cutting, _ = list_parts(request)
    return Lot(name="terrace armchairs", blanks=cutting.blanks, boards=loaded.boards, shop=loaded.shop)


def made_up(path: Path) -> Lot:
    """A lot from a file: parts and boards in inches, priced, all of one thickness."""
    data = json.loads(path.read_text(encoding="utf-8"))
    lot = data["instance"]
    shop = Shop(machines=(Machine(kind="rip saw", kerf=default(lot["kerf"] * INCH)),))
    blanks = tuple(
        Blank(
            kind=KindId(part["name"]),
            label=part["name"],
            length=part["L"] * INCH,
            width=part["W"] * INCH,
            thickness=INCH,
            count=part["qty"],
            species="cherry",
        )
        for part in lot["parts"]
    )
    known = f"best known {data['best_known']:.2f}, proven on half-inch marks to cost {data['lower_bound']:.2f} or more"
    return Lot(name=path.stem, blanks=blanks, boards=tuple(map(_board, lot["boards"])), shop=shop, known=known)


def _board(row: dict[str, object]) -> Board:
    defects = tuple(
        Defect(start=a * INCH, low=b * INCH, end=c * INCH, high=d * INCH, kind="knot")
        for a, b, c, d in row["defects"]  # type: ignore[attr-defined]
    )
    length, width = float(str(row["L"])) * INCH, float(str(row["W"])) * INCH
    return Board(
        name=str(row["id"]),
        species="cherry",
        length=length,
        width=width,
        far_width=width,
        thickness=INCH,
        price=float(str(row["price"])),
        defects=defects,
    )


def by_hand(problem: Problem) -> tuple[float, int]:
    """Cost and blanks left over of the best of five orders: as offered, cheapest, widest, longest, clearest first."""
    boards = range(len(problem.boards))
    stock = problem.boards
    orders = (
        list(boards),
        sorted(boards, key=lambda each: stock[each].cost / stock[each].area),
        sorted(boards, key=lambda each: -stock[each].width),
        sorted(boards, key=lambda each: -stock[each].length),
        sorted(boards, key=lambda each: len(stock[each].defects)),
    )
    return min((_in_order(problem, order) for order in orders), key=lambda each: (each[1], each[0]))


def _in_order(problem: Problem, order: list[int]) -> tuple[float, int]:
    wanted = [item.demand for item in problem.items]
    cost = 0.0
    for board in order:
        before = sum(wanted)
        if before:
            _chalk(problem, board, wanted)
        cost += problem.boards[board].cost if sum(wanted) < before else 0.0
    return cost, sum(wanted)


def _chalk(problem: Problem, board: int, wanted: list[int]) -> None:
    """Goes along a board section by section, longest part first."""
    wood, at = problem.boards[board], problem.trim
    mine = sorted(
        (number for number, item in enumerate(problem.items) if board in item.exact),
        key=lambda number: (-problem.items[number].length, -problem.items[number].width),
    )
    while at < wood.length - problem.trim:
        for number in mine:
            item = problem.items[number]
            end = at + item.length
            if wanted[number] and end <= wood.length - problem.trim and _place(wood, item, (at, end), 0) is not None:
                _across(problem, wood, mine, wanted, (at, end))
                at = end + problem.kerf
                break
        else:
            at += 8  # a quarter of an inch on


def _across(problem: Problem, wood: Stock, mine: list[int], wanted: list[int], span: tuple[int, int]) -> None:
    """Fills a section from the marked edge up: the longest part that fits, then shorter ones behind it in its strip."""
    low = 0
    while True:
        for number in mine:
            item = problem.items[number]
            place = _place(wood, item, span, low) if wanted[number] and item.length <= span[1] - span[0] else None
            if place is not None:
                wanted[number] -= 1
                _behind(problem, wood, mine, wanted, (span[0] + item.length + problem.kerf, span[1], place, item.width))
                low = place + item.width + problem.kerf
                break
        else:
            return


def _behind(problem: Problem, wood: Stock, mine: list[int], wanted: list[int], room: tuple[int, int, int, int]) -> None:
    at, end, low, width = room
    for number in mine:
        item = problem.items[number]
        while wanted[number] and item.width <= width and at + item.length <= end and _clear(wood, item, at, low):
            wanted[number] -= 1
            at += item.length + problem.kerf


def _place(wood: Stock, item: Item, span: tuple[int, int], low: int) -> int | None:
    """Lowest place across for a part at the start of a section, on the edge, a strip, or above a defect."""
    for each in (low, *sorted(rect.high for rect in wood.defects if rect.high > low)):
        if _clear(wood, item, span[0], each):
            return each
    return None


def _clear(wood: Stock, item: Item, at: int, low: int) -> bool:
    end, high = at + item.length, low + item.width
    if high > min(wood.width_at(at), wood.width_at(end)):
        return False
    return not any(at < d.right and end > d.left and low < d.high and high > d.low for d in wood.defects)


def report(lot: Lot, stop: Stop) -> bool:
    """Plans a lot, prints what came of it; whether the plan was verified and no dearer than by hand."""
    started = time.process_time()
    plan, _ = plan_lumber(LumberRequest(blanks=lot.blanks, boards=lot.boards, shop=lot.shop, stop=stop))
    seconds = time.process_time() - started
    boards = tuple(sorted(lot.boards, key=lambda board: board.name))
    hand, left = by_hand(set_problem(lot.blanks, boards, lot.shop, THIRTY_SECOND))
    area = sum(board.area for board in lot.boards)
    print(f"{lot.name}: {sum(blank.count for blank in lot.blanks)} blanks, {len(lot.boards)} boards")
    print(f"  {plan.status}; verified {plan.verified}; {seconds:.2f} s on one core")
    if plan.cost is not None and plan.cost_bound:
        print(f"  price {plan.cost:.2f}, least possible {plan.cost_bound:.2f}; by hand {hand:.2f}, {left} left over")
    print(f"  area {plan.area_used / area:.1%} of what is offered, gap {plan.gap or 0.0:.1%}; {lot.known}")
    return plan.verified and (plan.cost or 0.0) <= hand


def main(words: list[str]) -> int:
    """Run the bench; 0 if every plan is verified and no dearer than by hand."""
    stop = Stop(steps=int(words[0])) if words else Stop()
    lots = [demo(), *(made_up(path) for path in sorted((HERE / "boards").glob("*.json")))]
    return 0 if all([report(lot, stop) for lot in lots]) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
