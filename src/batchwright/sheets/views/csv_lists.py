"""The cutting list and the buying list as plain rows for a spreadsheet: the sheet's unit and true millimetres."""

from __future__ import annotations

from batchwright.model.stock import LumberPlan
from batchwright.model.work import CuttingList
from batchwright.sheets.views.lists import by_stock, row_notes
from batchwright.sheets.views.printing import BOARD_FOOT, Printing, wood_name

Rows = tuple[tuple[str, ...], ...]

CUTTING_COLUMNS = (
    "number",
    "part",
    "hand",
    "wood",
    "each",
    "copies",
    "spares",
    "make",
    "thickness",
    "width",
    "length",
    "shoulder to shoulder",
    "unit",
    "thickness mm",
    "width mm",
    "length mm",
    "shoulder to shoulder mm",
    "rough width mm",
    "rough length mm",
    "rough stock",
    "boards glued up",
    "milled together",
    "curved",
    "notes",
)

BUYING_COLUMNS = ("what", "net", "rough blanks", "waste factor", "waste share", "to buy", "unit", "least width mm",
                  "least length mm", "board thickness mm", "board width mm", "board far width mm", "board length mm",
                  "charged bf", "price", "note")  # fmt: skip


def cutting_rows(cutting: CuttingList, printing: Printing) -> Rows:
    """One row for each kind, in the order of the list. Fractions carry their unit: a spreadsheet would read 7/8 as a
    date."""
    quarters = {kind: family.quarters for family in cutting.families for kind in family.kinds}
    rows = []
    for row in cutting.rows:
        sizes = (row.finished.thickness, row.finished.width, row.finished.length)
        shoulder = row.shoulder_length
        rows.append(
            (
                str(printing.number_of(row.kind)),
                row.label,
                row.hand.value,
                wood_name(row.species),
                str(row.each),
                str(row.copies),
                str(row.spares),
                str(row.total),
                *(printing.length_unit(value) for value in sizes),
                "" if shoulder is None else printing.length_unit(shoulder),
                printing.unit.value,
                *(f"{value:.2f}" for value in sizes),
                "" if shoulder is None else f"{shoulder:.2f}",
                f"{row.rough.width:.1f}",
                f"{row.rough.length:.1f}",
                f"{quarters[row.kind]} stock",
                str(row.pieces),
                str(row.gang),
                "yes" if row.curved else "no",
                "; ".join(row_notes(row, printing)),
            )
        )
    return tuple(rows)


def buying_rows(cutting: CuttingList, lumber: LumberPlan | None, printing: Printing) -> Rows:
    """Lumber by rough thickness in board feet, boards to take, hardware."""
    rows = [
        _filled(
            f"{printing.wood(family.species)} {family.quarters}",
            f"{family.net_volume / BOARD_FOOT:.2f}",
            f"{family.rough_volume / BOARD_FOOT:.2f}",
            f"{family.buy_volume / family.net_volume:.3f}",
            f"{family.waste:.3f}",
            f"{family.buy_volume / BOARD_FOOT:.2f}",
            "bf",
            f"{family.least_width:.0f}",
            f"{family.least_length:.0f}",
        )
        for family in by_stock(cutting.families)
    ]
    if lumber is not None:
        rows += [_board_row(plan.board, lumber) for plan in lumber.plans]
    rows += [_filled(printing.hardware(one), "", "", "", "", str(one.count), "pieces") for one in cutting.hardware]
    return tuple(rows)


def _filled(*cells: str) -> tuple[str, ...]:
    return (*cells, *([""] * (len(BUYING_COLUMNS) - len(cells))))


def _board_row(name: str, lumber: LumberPlan) -> tuple[str, ...]:
    board = next(one for one in lumber.boards if one.name == name)
    feet = board.area * board.thickness / BOARD_FOOT
    sizes = (board.thickness, board.width, board.far_width, board.length)
    charged = f"{board.charged_feet:g}" if board.charged_feet else ""
    price = "" if board.price is None else f"{board.price:.2f}"
    bought = (f"board {board.name}", "", "", "", "", f"{feet:.2f}", "bf", "", "")
    return (*bought, *(f"{size:.0f}" for size in sizes), charged, price, board.note)
