"""The drawing primitives. Positions are true millimetres, y up; sizes of text, offsets and marks are paper millimetres.

A drawing at 1:10 therefore keeps its letters and its dimension lines at their size on paper. Nothing here knows of
parts; labels are text handed in by the caller.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from batchwright.geometry.curve import Path
from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.strokes import Fill, Stroke

BODY = 12.0 * 25.4 / 72.0
"""Body text, 12 points [mm on paper]."""
KEY = 18.0 * 25.4 / 72.0
"""Numbers that are set on machines, 18 points [mm on paper]."""
SMALL = 9.0 * 25.4 / 72.0
"""Notes on a drawing that nothing is set by, 9 points [mm on paper]."""


class Weight(Enum):
    """Weight of letters."""

    NORMAL = "normal"
    BOLD = "bold"


class Side(Enum):
    """Which point of its line a text hangs on."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Level(Enum):
    """Which height of a text its anchor stands at."""

    BASE = "base"
    MIDDLE = "middle"
    TOP = "top"


@dataclass(frozen=True, slots=True, kw_only=True)
class Straight:
    """A straight line."""

    start: Vec2
    end: Vec2
    stroke: Stroke = Stroke.VISIBLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A path of exact segments; `closed` joins its end to its start. Filled only when closed."""

    path: Path
    stroke: Stroke = Stroke.VISIBLE
    closed: bool = False
    fill: Fill = Fill.NONE


@dataclass(frozen=True, slots=True, kw_only=True)
class Polygon:
    """Rings of straight lines, each closed of itself: the first the outside, others holes (even-odd).

    `stroke` None leaves the edge undrawn.
    """

    rings: tuple[tuple[Vec2, ...], ...]
    fill: Fill = Fill.NONE
    stroke: Stroke | None = Stroke.VISIBLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text at `at`, `size` high on paper (the letter's em) [mm], turned by `angle` [rad].

    `halo` lays a strip of paper under it, so that lines behind it stop short. A `loose` one may be moved when labels
    are settled: what it says does not hang on the exact place.
    """

    at: Vec2
    text: str
    size: float = BODY
    angle: float = 0.0
    side: Side = Side.START
    level: Level = Level.BASE
    weight: Weight = Weight.NORMAL
    halo: bool = False
    loose: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A measure between two points, printed as `label`.

    `direction` is the direction measured in (None: along start to end). The dimension line lies `offset` [mm on
    paper] to the left of that direction, counted from the farther of the two points on that side. `shift` moves the
    label along the line, `lift` away from it [mm on paper]; with a lift a fine leader joins them. A label too long
    for the space between the points stands beyond the end by itself.
    """

    start: Vec2
    end: Vec2
    label: str
    offset: float = 10.0
    direction: Vec2 | None = None
    size: float = BODY
    shift: float = 0.0
    lift: float = 0.0
    weight: Weight = Weight.NORMAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One mark of a running dimension: the point measured to, and its printed label.

    `shift` moves the label along the line [mm on paper] (set by the layout, not by hand).
    """

    at: Vec2
    label: str
    shift: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """Running dimensions: all from one `datum` along `direction`, on one line `offset` to its left [mm on paper].

    Labels stand square to the line (turned a quarter) unless `upright`.
    """

    datum: Vec2
    direction: Vec2
    stations: tuple[Station, ...]
    offset: float = 14.0
    datum_label: str = "0"
    size: float = BODY
    upright: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Angle:
    """An angle at `corner` from direction `first` counter-clockwise to direction `second`; radius on paper [mm].

    `turned` moves the label from the halving line, past one leg of the angle if there is no room between [rad].
    """

    corner: Vec2
    first: Vec2
    second: Vec2
    label: str
    radius: float = 14.0
    size: float = BODY
    turned: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Radius:
    """A radius: an arrow that touches the curve at `at`, coming from `direction`, with its label at the tail."""

    at: Vec2
    direction: Vec2
    label: str
    reach: float = 12.0
    size: float = BODY


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A leader from `tip` by (`dx`, `dy`) on paper [mm] to a line of text."""

    tip: Vec2
    text: str
    dx: float = 10.0
    dy: float = 8.0
    size: float = BODY
    dot: bool = False
    weight: Weight = Weight.NORMAL


class HatchKind(Enum):
    """What a hatched area says."""

    WASTE = "waste"
    CUT = "cut"
    CUT_OTHER = "cut, the other part"
    END_GRAIN = "end grain"
    DEFECT = "defect"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hatch:
    """Hatching inside closed rings (even-odd). The lines are clipped here, so that every writer draws the same."""

    rings: tuple[tuple[Vec2, ...], ...]
    kind: HatchKind = HatchKind.CUT


class MarkKind(Enum):
    """The bench marks, as a maker pencils them."""

    FACE_SIDE = "face side"
    FACE_EDGE = "face edge"
    GRAIN = "grain arrow"
    CROSS = "cross"
    CENTRE = "centre mark"
    REGISTER = "register cross"
    DATUM = "datum"
    TRIANGLE = "triangle"
    NUMBER = "number in a circle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A bench mark at `at`, `size` on paper [mm], turned by `angle` [rad]; `text` for a number in a circle."""

    kind: MarkKind
    at: Vec2
    size: float = 6.0
    angle: float = 0.0
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckBar:
    """The bar to lay a rule against: 100 mm on one side, 4 in on the other. Honest only in a scene at full size."""

    at: Vec2
    angle: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Items that belong together, by name."""

    name: str
    items: tuple[Item, ...]


Item = Straight | Curve | Polygon | Text | Dimension | Running | Angle | Radius | Note | Hatch | Mark | CheckBar | Group
Plain = Straight | Curve | Polygon | Text
"""What is left when an item is drawn out: all that a writer needs to know."""
