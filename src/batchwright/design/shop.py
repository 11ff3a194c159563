"""Reading a shop file over the packaged shop: what the maker says is marked as the shop's, the rest as a default."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TypeVar

from batchwright.base.fault import Fault, in_file_order
from batchwright.base.trace import By, Sized, Trace
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, form_of
from batchwright.design.values.amounts import NoNames, money_in, positive_length, quarters_in, share_in
from batchwright.design.values.reading import count_of, scalar_of
from batchwright.design.words.known import glue_key
from batchwright.design.words.shop_words import check_shop
from batchwright.design.words.words import MACHINES
from batchwright.model.shop import Allowances, Cutter, Fits, Machine, Shop, Tolerances, default

PACKAGED = "shop.yaml"

_THIN_BUSH = 3.0
"""Twice the wall of a guide bush whose bore is not said [mm]; common practice, no source."""

_BIT_MACHINES = ("slot mortiser", "plunge router", "stylus joint machine")
_CHISEL_MACHINES = ("hollow-chisel mortiser",)

Item = TypeVar("Item")


def packaged_text(name: str = PACKAGED) -> str:
    """The text of a file that comes with the package: `shop.yaml`, `empty-frame.piece.yaml`."""
    return files("batchwright.design.starters").joinpath(name).read_text(encoding="utf-8")


def packaged_shop() -> Shop:
    """The shop that holds where a maker says nothing; every value of it is marked as a default."""
    return _shop(_Reader((_packaged(),), []))


def read_shop(text: str, file: str) -> tuple[Shop, tuple[Fault, ...]]:
    """The shop of a text, over the packaged one, and everything wrong with the text.

    Where a value is at fault the packaged one stands in, so that the rest can be checked too.
    """
    tree, faults = read_tree(text, file)
    if tree is None:
        return packaged_shop(), faults
    told = [*faults, *check_shop(tree, _packaged().tree)]
    units = tree.get("units")
    said = units.text if isinstance(units, Scalar) and units.text in ("in", "mm") else "in"
    shop = _shop(_Reader((_Source(tree, said, By.SHOP), _packaged()), told))
    return shop, in_file_order(told)


@dataclass(frozen=True, slots=True)
class _Source:
    """One shop file: its tree, what its bare numbers mean, and who speaks in it."""

    tree: Mapping
    units: str
    by: By

    def dig(self, path: tuple[str, ...]) -> Node | None:
        """What stands under words inside words."""
        node: Node | None = self.tree
        for word in path:
            node = node.get(word) if isinstance(node, Mapping) else None
        return node


@cache
def _packaged() -> _Source:
    tree, faults = read_tree(packaged_text(), PACKAGED)
    if tree is None or faults:
        raise ValueError(f"the packaged shop is broken: {faults}")
    return _Source(tree, "in", By.DEFAULT)


ReadValue = Callable[[Scalar, str, str], float]
"""(scalar, units, name) -> value in house units."""


@dataclass(frozen=True, slots=True)
class _Reader:
    """Shop files, the maker's before the packaged one, and the faults found in them."""

    sources: tuple[_Source, ...]
    faults: list[Fault]

    def sized(self, path: tuple[str, ...], read: ReadValue, otherwise: Sized | None = None) -> Sized | None:
        """A value with its trace from the first file that says it soundly; `otherwise` where none does."""
        for source in self.sources:
            node = source.dig(path)
            if node is None:
                continue
            try:
                scalar = scalar_of(node, path[-1])
                value = read(scalar, source.units, " ".join(path))
            except Mistake as stop:
                self.faults.extend(stop.faults)
                continue
            if source.by is By.DEFAULT:
                return Sized(value, otherwise.trace if otherwise else default(value).trace)
            return Sized(value, Trace(by=By.SHOP, rule=" ".join(path), source=str(scalar.place)))
        return otherwise

    def length(self, path: tuple[str, ...], otherwise: Sized) -> Sized:
        """A length of zero or more, which always has a value."""
        return self.sized(path, _length_or_zero, otherwise) or otherwise

    def text(self, path: tuple[str, ...], otherwise: str) -> str:
        """A text from the first file that says it."""
        found = (source.dig(path) for source in self.sources)
        return next(
            (node.text.strip() for node in found if isinstance(node, Scalar) and not node.says_nothing), otherwise
        )

    def items(self, word: str) -> tuple[tuple[Node, ...], _Source]:
        """The items of a list from the first file that has it: a list is replaced whole."""
        for source in self.sources:
            node = source.dig((word,))
            if isinstance(node, Sequence):
                return node.items, source
            if node is not None:
                what = f"`{word}` is {form_of(node)}, but a list is wanted."
                self.faults.append(
                    Fault(code="list-wanted", place=node.place, what=what, mend=f"write `{word}: [ ... ]`")
                )
        return (), self.sources[-1]


def _length_or_zero(scalar: Scalar, units: str, name: str) -> float:
    return positive_length(scalar, units, name, or_zero=True)


def _length(scalar: Scalar, units: str, name: str) -> float:
    return positive_length(scalar, units, name)


def _share(scalar: Scalar, units: str, name: str) -> float:
    return share_in(scalar.text, scalar.place, name)


def _rate(scalar: Scalar, units: str, name: str) -> float:
    if "%" in scalar.text:
        return share_in(scalar.text, scalar.place, name)
    return money_in(scalar.text, scalar.place, name)


def _minutes(scalar: Scalar, units: str, name: str) -> float:
    try:
        return money_in(scalar.text, scalar.place, name)
    except Mistake:
        what = f"`{name}` is `{scalar.text}`, but minutes are wanted."
        raise mistake("not-minutes", scalar.place, what, "write minutes as a plain number, for example `1.5`") from None


def _shop(reader: _Reader) -> Shop:
    base = Shop()
    return Shop(
        name=reader.text(("shop",), "the shop"),
        machines=tuple(machine for kind, _ in MACHINES if (machine := _machine(kind, reader))),
        cutters=_cutters(reader),
        allowances=_allowances(reader),
        fits=_fits(reader),
        tolerances=_tolerances(reader),
        widest_board=reader.length(("widest board",), base.widest_board),
        waste=reader.sized(("waste",), _share, base.waste) or base.waste,
        wall_indoors=reader.length(("walls", "indoors"), base.wall_indoors),
        wall_outdoors=reader.length(("walls", "outdoors"), base.wall_outdoors),
        quarters=_quarters(reader),
        currency=reader.text(("currency",), "$")[:4],
        rates=_named("rates", _rate, reader),
        times=_named("times", _minutes, reader),
        clamps=_clamps(reader),
        glues=_glues(reader),
        guides=_guides(reader),
    )


def _machine(kind: str, reader: _Reader) -> Machine | None:
    path = ("machines", kind)
    if not _owned(kind, reader):
        return None

    def limit(word: str) -> Sized | None:
        return reader.sized((*path, word), _length)

    return Machine(
        kind=kind,
        name=reader.text((*path, "name"), ""),
        kerf=limit("kerf"),
        least_length=limit("least length"),
        least_thickness=limit("least thickness"),
        most_width=limit("most width"),
        most_thickness=limit("most thickness"),
        most_length=limit("most length"),
        positions=reader.text((*path, "positions"), ""),
    )


def _owned(kind: str, reader: _Reader) -> bool:
    return reader.text(("machines", kind, "owned"), "yes") != "no"


def _allowances(reader: _Reader) -> Allowances:
    base = Allowances()
    return Allowances(
        length=reader.length(("allowances", "length"), base.length),
        width=reader.length(("allowances", "width"), base.width),
        thickness=reader.length(("allowances", "thickness"), base.thickness),
        saw_line=reader.length(("allowances", "saw line"), base.saw_line),
        snipe=reader.length(("allowances", "snipe"), base.snipe),
        end_trim=reader.length(("allowances", "end trim"), base.end_trim),
    )


def _fits(reader: _Reader) -> Fits:
    base = Fits()
    return Fits(
        cheeks=reader.length(("fits", "cheeks"), base.cheeks),
        ends=reader.length(("fits", "ends"), base.ends),
        depth=reader.length(("fits", "depth"), base.depth),
        mitre_gap=reader.length(("fits", "mitre gap"), base.mitre_gap),
        loose_width=reader.length(("fits", "loose width"), base.loose_width),
    )


def _tolerances(reader: _Reader) -> Tolerances:
    base = Tolerances()
    return Tolerances(
        shoulder_gap=reader.length(("tolerances", "shoulder gap"), base.shoulder_gap),
        same_part=reader.length(("tolerances", "same part"), base.same_part),
    )


def _each(word: str, reader: _Reader, work: Callable[[Mapping, _Source], Item]) -> tuple[Item, ...]:
    """What `work` makes of each item of a list of tables; items at fault are told and left out."""
    nodes, source = reader.items(word)
    found: list[Item] = []
    for node in nodes:
        try:
            if not isinstance(node, Mapping):
                what = f"an item of `{word}` is {form_of(node)}, but a table is wanted."
                raise mistake("table-wanted", node.place, what, "write each as `{word: value, ...}`")
            found.append(work(node, source))
        except Mistake as stop:
            reader.faults.extend(stop.faults)
    return tuple(found)


def _under(item: Mapping, word: str, source: _Source) -> float:
    node = item.get(word)
    if node is None:
        raise Mistake
    return _length(scalar_of(node, word), source.units, word)


def _said(item: Mapping, word: str) -> str:
    node = item.get(word)
    return node.text.strip() if isinstance(node, Scalar) else ""


def _cutters(reader: _Reader) -> tuple[Cutter, ...]:
    """Bits and chisels, narrow before wide, chisels before bits of the same width."""

    def bit(item: Mapping, source: _Source) -> Cutter:
        width, reach = _under(item, "diameter", source), _under(item, "reach", source)
        return Cutter(width=width, round_ends=True, reach=reach, kind=_said(item, "kind") or "bit", by=source.by)

    def chisel(item: Mapping, source: _Source) -> Cutter:
        width, reach = _under(item, "width", source), _under(item, "reach", source)
        kind = _said(item, "kind") or "hollow chisel"
        return Cutter(width=width, round_ends=False, reach=reach, kind=kind, by=source.by)

    bits = _each("cutters", reader, bit)
    chisels = _each("chisels", reader, chisel)
    found = (*_usable(bits, _BIT_MACHINES, reader), *_usable(chisels, _CHISEL_MACHINES, reader))
    return tuple(sorted(found, key=lambda cutter: (cutter.width, cutter.round_ends)))


def _usable(cutters: tuple[Cutter, ...], kinds: tuple[str, ...], reader: _Reader) -> tuple[Cutter, ...]:
    """The cutters, without the packaged ones where the maker owns no machine that could hold them."""
    owned = any(_owned(kind, reader) for kind in kinds)
    return tuple(cutter for cutter in cutters if owned or cutter.by is not By.DEFAULT)


def _clamps(reader: _Reader) -> tuple[tuple[float, int], ...]:
    def clamp(item: Mapping, source: _Source) -> tuple[float, int]:
        count = item.get("count")
        if count is None:
            raise Mistake
        return _under(item, "length", source), count_of(count, NoNames(source.units), (), "count", least=0)

    return tuple(sorted(_each("clamps", reader, clamp)))


def _guides(reader: _Reader) -> tuple[tuple[float, float], ...]:
    def guide(item: Mapping, source: _Source) -> tuple[float, float]:
        outside = _under(item, "outside", source)
        inside = _under(item, "inside", source) if item.get("inside") is not None else outside - _THIN_BUSH
        if 0.0 < inside < outside:
            return outside, inside
        what = f"a guide bush of {outside:g} mm outside lets a bit of {inside:g} mm pass."
        raise mistake("bush-too-thin", item.place, what, "make `inside` less than `outside`")

    return tuple(sorted(_each("guides", reader, guide)))


def _glues(reader: _Reader) -> tuple[str, ...]:
    found: list[str] = []
    for node in reader.items("glues")[0]:
        try:
            scalar = scalar_of(node, "glues")
            found.append(glue_key(scalar.text, scalar.place))
        except Mistake as stop:
            reader.faults.extend(stop.faults)
    return tuple(dict.fromkeys(found))


def _quarters(reader: _Reader) -> tuple[str, ...]:
    found: dict[str, float] = {}
    for node in reader.items("quarters")[0]:
        millimetres = quarters_in(node.text) if isinstance(node, Scalar) else None
        if millimetres is None:
            what = f"`quarters` has {form_of(node)}, which is not a rough thickness."
            mend = "write quarters of an inch, for example `8/4`"
            reader.faults.append(Fault(code="not-quarters", place=node.place, what=what, mend=mend))
        elif isinstance(node, Scalar):
            found["".join(node.text.split())] = millimetres
    return tuple(sorted(found, key=lambda name: found[name]))


def _named(word: str, read: ReadValue, reader: _Reader) -> tuple[tuple[str, Sized], ...]:
    """Every entry of a table of plain values, in the packaged shop's order."""
    table = reader.sources[-1].tree.get(word)
    names = table.words() if isinstance(table, Mapping) else ()
    found = ((name, reader.sized((word, name), read)) for name in names)
    return tuple((name, value) for name, value in found if value is not None)
