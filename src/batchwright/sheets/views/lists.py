"""Tables of the packet: cutting list, families, machine lists, buying list, sizes, findings."""

from __future__ import annotations

from collections import defaultdict

from batchwright.base.finding import Finding, Grade
from batchwright.model.draft import SizeKind, SizeValue
from batchwright.model.piece import KindId
from batchwright.model.stock import Board, LumberPlan
from batchwright.model.work import CuttingList, CuttingRow, Family, MachinePass
from batchwright.sheets.scene.sheet import Beside, Block, Caution, Column, Heading, Paragraph, Table
from batchwright.sheets.views.heights import ROW
from batchwright.sheets.views.printing import Printing

MANY_SIZES = 11
"""More sizes than this stand in two columns, without their notes."""
ONE_COLUMN, HALF, KEY_ROW = 185.0, 16, 8.5
"""What the rows of a machine's list may take on an upright sheet [mm]; how many stand in each half of one that lies
across; the height of a row with a setting [mm]."""
MACHINE_CAUTION = (
    "Short, thin, narrow stock is dangerous at jointer, planer and saw: keep to the least sizes in the machine's own "
    "manual, gang short parts, use push blocks and guards."
)


def number_rows(cutting: CuttingList) -> dict[KindId, int]:
    """A number for each kind, the same on every sheet; in the order of the list."""
    return {row.kind: index + 1 for index, row in enumerate(cutting.rows)}


def cutting_blocks(cutting: CuttingList, printing: Printing) -> tuple[Block, ...]:
    """The cutting list: finished and rough sizes, counts, hands. Grouped by thickness family."""
    numbers = number_rows(cutting)
    by_family: dict[str, list[CuttingRow]] = defaultdict(list)
    for row in cutting.rows:
        by_family[row.family].append(row)
    rows: list[tuple[str, ...]] = []
    groups: list[tuple[int, str]] = []
    for family in cutting.families:
        groups.append((len(rows), family_title(family, printing)))
        rows += [_cutting_row(row, numbers[row.kind], printing) for row in by_family[family.name]]
    table = Table(
        columns=(
            Column(title="No.", share=0.5, number=True),
            Column(title="Part", share=2.6),
            Column(title="Make", share=0.75, number=True),
            Column(title="Finished width × length", share=3.2),
            Column(title="Shoulder to shoulder", share=1.3),
            Column(title="Rough width × length", share=2.1),
            Column(title="Done", share=0.6, ticks=1),
        ),
        rows=tuple(rows),
        groups=tuple(groups),
    )
    notes = [
        Paragraph(text=f"{numbers[row.kind]}  {row.label}: {'; '.join(told)}.")
        for row in cutting.rows
        if (told := row_notes(row, printing))
    ]
    explain = Paragraph(
        text="Sizes are told thickness, width, length, everywhere. Finished sizes are overall, tenons included; the "
        "thickness stands over each group. Rough sizes carry the "
        "shop's allowances; a curved part's is its blank. Left and right are separate parts.",
        small=True,
    )
    return (table, *notes, explain)


def row_notes(row: CuttingRow, printing: Printing) -> tuple[str, ...]:
    """What is to be known of a row besides its sizes."""
    if row.body is None:
        return row.notes
    sizes = (("thick", row.finished.thickness, row.body.thickness), ("wide", row.finished.width, row.body.width))
    told = [
        f"{printing.length(blank)} {way} holds a tenon that stands over its edge; the body is {printing.length(body)} "
        f"{way}, sawn last"
        for way, blank, body in sizes
        if blank != body
    ]
    return (*told, *row.notes)


def _cutting_row(row: CuttingRow, number: int, printing: Printing) -> tuple[str, ...]:
    finished, rough = row.finished, row.rough
    spare = f" (+{row.spares} spare)" if row.spares else ""
    size = printing.block(finished.width, finished.length)
    shoulder = "" if row.shoulder_length is None else printing.length(row.shoulder_length)
    staves = f"{row.pieces} of " if row.pieces > 1 else ""
    return (
        str(number),
        row.label,
        f"{row.total - row.spares}{spare}",
        size,
        shoulder,
        f"{staves}{printing.block(rough.width, rough.length)}",
        "",
    )


def family_title(family: Family, printing: Printing) -> str:
    """`3/4 in, planed from 4/4 white oak`."""
    return f"{printing.length_unit(family.finished)}, planed from {family.quarters} {printing.wood(family.species)}"


def machine_sheets(cutting: CuttingList, printing: Printing) -> tuple[tuple[str, tuple[Block, ...]], ...]:
    """For each machine its name and a list of its own, to be pinned there: equal settings together, boxes to tick."""
    numbers = number_rows(cutting)
    rows_of = {row.kind: row for row in cutting.rows}
    return tuple(
        (
            machine.machine,
            (
                Paragraph(text=f"{machine.note[:1].upper()}{machine.note[1:]}."),
                *_machine_tables(machine, rows_of, numbers, printing),
                Caution(text=MACHINE_CAUTION),
            ),
        )
        for machine in cutting.machines
    )


def _machine_tables(
    machine: MachinePass, rows_of: dict[KindId, CuttingRow], numbers: dict[KindId, int], printing: Printing
) -> tuple[Block, ...]:
    """One table; in two columns side by side, parted between settings, where one would run over the sheet."""
    rows: list[tuple[str, ...]] = []
    for setting, kinds in machine.groups:
        rows += _machine_rows(machine, setting, [rows_of[kind] for kind in kinds], numbers, printing)
    settings = len(machine.groups)
    if settings * KEY_ROW + (len(rows) - settings) * ROW <= ONE_COLUMN or len(rows) > 2 * HALF:
        return (_machine_table(rows),)
    half = (len(rows) + 1) // 2
    left, right = rows[:half], rows[half:]
    if not right[0][0]:
        last = next(row for row in reversed(left) if row[0])
        right[0] = (*last[:2], *right[0][2:])
    return (Beside(left=(_machine_table(left),), right=(_machine_table(right),)),)


def _machine_rows(
    machine: MachinePass, setting: str, kinds: list[CuttingRow], numbers: dict[KindId, int], printing: Printing
) -> list[tuple[str, ...]]:
    stock, value = setting.split("|")
    rows: list[tuple[str, ...]] = []
    for index, row in enumerate(kinds):
        boxes = row.total * (row.pieces if machine.before_gluing else 1)
        label = f"{row.label}, boards to be glued up" if machine.before_gluing and row.pieces > 1 else row.label
        shown = printing.length(float(value)) if index == 0 else ""
        from_stock = stock if index == 0 else ""
        rows.append((shown, from_stock, str(numbers[row.kind]), label, str(boxes), ""))
    return rows


def _machine_table(rows: list[tuple[str, ...]]) -> Table:
    columns = (
        Column(title="Set to", share=0.8, number=True, key=True),
        Column(title="Stock", share=0.6),
        Column(title="No.", share=0.4, number=True),
        Column(title="Part", share=2.6),
        Column(title="Make", share=0.6, number=True),
        Column(title="", share=0.4, ticks=1),
    )
    shown = [index for index in range(len(columns)) if index != 1 or any(row[1] for row in rows)]
    return Table(
        columns=tuple(columns[index] for index in shown),
        rows=tuple(tuple(row[index] for index in shown) for row in rows),
    )


def buying_blocks(cutting: CuttingList, lumber: LumberPlan | None, printing: Printing) -> tuple[Block, ...]:
    """What to buy: lumber by thickness with the waste said both ways, then hardware; and what the boards give."""
    rows = [
        (
            f"{printing.wood(family.species)} {family.quarters}",
            printing.volume(family.net_volume),
            printing.volume(family.rough_volume),
            f"× {family.buy_volume / family.net_volume:.2f} = {family.waste:.0%} lost",
            printing.volume(family.buy_volume),
            printing.block(family.least_width, family.least_length),
        )
        for family in by_stock(cutting.families)
    ]
    table = Table(
        columns=(
            Column(title="Stock", share=1.8),
            Column(title="Net", share=1.0, number=True),
            Column(title="Rough blanks", share=1.1, number=True),
            Column(title="Waste", share=1.6),
            Column(title="To buy", share=1.0, number=True, key=True),
            Column(title="Least board, width × length", share=1.9),
        ),
        rows=tuple(rows),
        caption="Lumber, before any board is seen: the shop's rule of waste. Spares are counted in.",
    )
    blocks: list[Block] = [table, Paragraph(text=_waste_words(cutting), small=True)]
    if lumber is not None:
        blocks += [Heading(text="From the boards offered"), *_board_words(lumber, printing)]
    if cutting.hardware:
        hardware = tuple((printing.hardware(one), str(one.count)) for one in cutting.hardware)
        blocks.append(Heading(text="Hardware and small stock, over the run"))
        columns = (Column(title="What", share=4.0), Column(title="How many", share=1.0, number=True, key=True))
        blocks.append(Table(columns=columns, rows=hardware))
    return tuple(blocks)


def by_stock(families: tuple[Family, ...]) -> tuple[Family, ...]:
    """Families of one rough thickness added up: the yard sells by the rough thickness."""
    stock: dict[tuple[str, str], list[Family]] = defaultdict(list)
    for family in families:
        stock[(family.species, family.quarters)].append(family)
    summed = []
    for (species, quarters), group in sorted(stock.items(), key=lambda item: (item[0][0], item[1][0].rough)):
        net = sum(one.net_volume for one in group)
        buy = sum(one.buy_volume for one in group)
        summed.append(
            Family(
                name=f"{species} {quarters}",
                species=species,
                finished=max(one.finished for one in group),
                quarters=quarters,
                rough=group[0].rough,
                kinds=tuple(kind for one in group for kind in one.kinds),
                net_volume=net,
                rough_volume=sum(one.rough_volume for one in group),
                buy_volume=buy,
                waste=1.0 - net / buy,
                least_length=max(one.least_length for one in group),
                least_width=max(one.least_width for one in group),
            )
        )
    return tuple(summed)


def _waste_words(cutting: CuttingList) -> str:
    return (
        "Waste means the share of the bought stock that is lost: 30 % lost is net × 1.43, while adding 30 % to the net "
        "loses only 23 %. Where the rough blanks need more than the rule of waste gives, the blanks decide."
    )


def _board_words(lumber: LumberPlan, printing: Printing) -> tuple[Block, ...]:
    used = {plan.board for plan in lumber.plans}
    boards = [board for board in lumber.boards if board.name in used]
    volume = sum(board.area * board.thickness for board in boards)
    left = [board for board in lumber.boards if board.name not in used]
    cost = "" if lumber.cost is None else f" for {printing.money(lumber.cost)}"
    charged = sum(board.charged_feet for board in boards)
    tally = f" as measured, {charged:g} bf as charged by the tally" if charged else ""
    gap = "" if lumber.gap is None else f"; no layout can use less than {1.0 / (1.0 + lumber.gap):.0%} of that"
    blocks: list[Block] = [
        Paragraph(
            text=f"Take {len(used)} of {len(lumber.boards)} boards, {printing.volume(volume)}{tally}{cost}{gap}."
        ),
        Paragraph(text=f"Take: {_board_names(boards, printing)}."),
        Paragraph(text=f"Leave: {_board_names(left, printing)}."),
    ]
    blocks += [
        Caution(text=f"Not covered: {short.count} of {lumber.blanks[short.blank].label}: {short.why}")
        for short in lumber.short
    ]
    return tuple(blocks)


def _board_names(boards: list[Board], printing: Printing) -> str:
    """`A1, A2 (straight grain), A5`: each with the note that came with it."""
    ordered = sorted(boards, key=lambda board: printing.in_order(board.name))
    return ", ".join(f"{one.name} ({one.note})" if one.note else one.name for one in ordered) or "none"


def size_blocks(sizes: tuple[SizeValue, ...], printing: Printing) -> tuple[Block, ...]:
    """The sizes the piece was planned with, and who decided."""

    def shown(size: SizeValue, value: float | None) -> str:
        if value is None:
            return ""
        if size.kind is SizeKind.ANGLE:
            return printing.angle(value)
        return f"{value:g}" if size.kind is SizeKind.NUMBER else printing.length(value)

    rows = tuple(
        (size.name, shown(size, size.value), _between(shown(size, size.low), shown(size, size.high)), size.by.value)
        for size in sizes
    )
    columns = (
        Column(title="Size", share=1.6),
        Column(title="Is", share=1.0, number=True, key=True),
        Column(title="May be", share=1.2, number=True),
        Column(title="Decided by", share=1.1),
        Column(title="Note", share=2.6),
    )
    if len(sizes) <= MANY_SIZES:
        full = tuple((*row, size.note) for row, size in zip(rows, sizes, strict=True))
        return (Table(columns=columns, rows=full),)
    half = (len(rows) + 1) // 2
    halves = [Table(columns=columns[:3], rows=tuple(row[:3] for row in some)) for some in (rows[:half], rows[half:])]
    told = sorted({row[3] for row in rows})
    by = "; ".join(f"{who}: {', '.join(row[0] for row in rows if row[3] == who)}" for who in told[1:] or told[:0])
    words = f"Decided by {told[0]}{' where not said otherwise; by ' + by if by else ''}."
    return (Beside(left=(halves[0],), right=(halves[1],)), Paragraph(text=words, small=True))


def _between(low: str, high: str) -> str:
    if low and high:
        return f"{low} to {high}"
    return f"from {low}" if low else f"to {high}" if high else ""


def finding_blocks(findings: tuple[Finding, ...]) -> tuple[Block, ...]:
    """Findings, the failing ones first, each with its mend and its source."""
    blocks: list[Block] = []
    near = "Near a limit, or short of a rule of thumb"
    for grade, title in ((Grade.FAILS, "Fails"), (Grade.NEAR, near), (Grade.NOTE, "Worth knowing")):
        chosen = [finding for finding in findings if finding.grade is grade]
        if not chosen:
            continue
        rows = tuple((_told(one), "") for one in chosen)
        blocks.append(Heading(text=f"{title} ({len(chosen)})"))
        columns = (Column(title="What, and how to mend it", share=8.0), Column(title="Seen to", share=1.0, ticks=1))
        blocks.append(Table(columns=columns, rows=rows))
    return tuple(blocks) or (Paragraph(text="Nothing was found wanting by the checks that were run."),)


def _told(finding: Finding) -> str:
    """What was found, then on lines of their own its mend and what it rests on."""
    told = finding.utilisation is not None and (finding.grade is Grade.FAILS or finding.utilisation <= 1.0)
    used = f" ({finding.utilisation:.0%} of the limit)" if told else ""
    said = f"{finding.what}{used}"
    lines = [f"{said[:1].upper()}{said[1:]}"]
    if finding.mend:
        lines.append(f"Mend: {finding.mend}")
    rests = "; ".join(word for word in (finding.why, finding.source) if word)
    return "\n".join([*lines, *([f"Rests on: {rests}"] if rests else [])])
