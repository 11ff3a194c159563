"""The cutting list and the buying list as plain rows for a spreadsheet: the sheet's unit and true millimetres."""

from __future__ import annotations

from batchwright.model.stock import LumberPlan
from batchwright.model.work import CuttingList, Hardware
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
    "length",
    "width",
    "thickness",
    "shoulder to shoulder",
    "unit",
    "length mm",
    "width mm",
    "thickness mm",
    "shoulder to shoulder mm",
    "rough length mm",
    "rough width mm",
    "rough stock",
    "boards glued up",
    "milled together",
    "curved",
    "notes",
)

BUYING_COLUMNS = ("what", "net", "rough blanks", "waste factor", "waste share", "to buy", "unit", "least length mm",
                  "least width mm")  # fmt: skip


def cutting_rows(cutting: CuttingList, printing: Printing) -> Rows:
    """One row for each kind, in the order of the list."""
    quarters = {kind: family.quarters for family in cutting.families for kind in family.kinds}
    rows = []
    for row in cutting.rows:
        sizes = (row.finished.length, row.finished.width, row.finished.thickness)
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
                *(printing.length(value) for value in sizes),
                "" if shoulder is None else printing.length(shoulder),
                printing.unit.value,
                *(f"{value:.2f}" for value in sizes),
                "" if shoulder is None else f"{shoulder:.2f}",
                f"{row.rough.length:.1f}",
                f"{row.rough.width:.1f}",
                quarters[row.kind],
                str(row.pieces),
                str(row.gang),
                "yes" if row.curved else "no",
                "; ".join(row.notes),
            )
        )
    return tuple(rows)


def buying_rows(cutting: CuttingList, lumber: LumberPlan | None) -> Rows:
    """Lumber by thickness family in board feet, boards to take, hardware."""
    rows: list[tuple[str, ...]] = [
        (
            f"{wood_name(family.species)} {family.quarters}",
            f"{family.net_volume / BOARD_FOOT:.2f}",
            f"{family.rough_volume / BOARD_FOOT:.2f}",
            f"{family.buy_volume / family.net_volume:.3f}",
            f"{family.waste:.3f}",
            f"{family.buy_volume / BOARD_FOOT:.2f}",
            "bf",
            f"{family.least_length:.0f}",
            f"{family.least_width:.0f}",
        )
        for family in cutting.families
    ]
    if lumber is not None:
        rows += [_board_row(plan.board, lumber) for plan in lumber.plans]
    rows += [(_hardware(one), "", "", "", "", str(one.count), "pieces", "", "") for one in cutting.hardware]
    return tuple(rows)


def _board_row(name: str, lumber: LumberPlan) -> tuple[str, ...]:
    board = next(one for one in lumber.boards if one.name == name)
    feet = board.area * board.thickness / BOARD_FOOT
    return (f"board {board.name}", "", "", "", "", f"{feet:.2f}", "bf", f"{board.length:.0f}", f"{board.width:.0f}")


def _hardware(one: Hardware) -> str:
    return f"{one.what}, {one.diameter:.2f} mm" if one.diameter else one.what
