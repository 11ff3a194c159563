"""What a mend says between backticks, as changes of the piece file: on the statement, or on an exception of it.

A mend is said in the words of the file: "a shorter tenon (`length: 1 1/8`), or let it go through (`end: through`)"
offers two changes, and each can be made with one press. Words that are joined by "and" are made together.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace

from batchwright.base.fault import Fault, Place
from batchwright.base.finding import Finding
from batchwright.base.mend import Change, Mend, Step, set_text
from batchwright.base.trace import Missing
from batchwright.joinery.cutting.fixed import Held
from batchwright.joinery.meeting.sites import otherwise_fits
from batchwright.joinery.offering import on_the_drawn_copy
from batchwright.joinery.sizing.plan import Plan
from batchwright.joinery.words import OPPOSITE, Compass, exactly
from batchwright.model.draft import DraftPart, DraftPiece, JointAsk, JointStatement, Meeting, PartId

_WORDS = frozenset({*(each.name.replace("_", " ") for each in fields(JointAsk)), "expect"})
_FRAGMENT = re.compile(r"`(?P<word>[a-z]+(?: [a-z]+)*): (?P<value>[^`]*[^`.])`")
_TAKEN_OUT = re.compile(r"take (?:`(?P<word>[a-z ]+)`|the (?P<plain>length)) out")
_DRAWN = re.compile(
    r"(?:draw |make |move |^)(?P<part>[^,`]+?) "
    r"(?:(?P<more>wider|longer|thicker) (?:at the (?P<at>\w+)|(?P<there>there)) by (?P<by>[\d./ ]+ (?:in|mm))"
    r"|narrower by (?P<less>[\d./ ]+ (?:in|mm)) on its (?P<on>\w+) side"
    r"|(?:further )?to the (?P<to>\w+) by (?P<way>[\d./ ]+ (?:in|mm)))"
)
_FIRST = re.compile(r"`by: (?P<part>[^`]+) first`")
_PAIR = re.compile(r"(?P<side>[a-z]+): (?P<value>[^,{}]+)")
_OR = re.compile(r"[,;]? \bor\b ")
_THROUGH = ("through", "wedged")
_ONLY_HELPS = "gains a little"
"""Words of an offer that does not clear the finding; it is left to the maker's own hand."""

Asked = tuple[tuple[str, str | None], ...]
"""Words of a joint and what they become; None takes one out."""
Way = tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One joint of a statement: its parts, and the end it is on."""

    statement: JointStatement
    part: PartId
    into: PartId
    end: str = ""

    def exception(self) -> int | None:
        """The number of the exception that holds here, from 0."""
        fits = [
            n
            for n, item in enumerate(self.statement.exceptions)
            if otherwise_fits(item, self.part, self.into, self.end)
        ]
        return fits[-1] if fits else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spots:
    """Every joint by its id, the statements, and names of parts, for finding where a change is written."""

    by_id: Mapping[str, Spot]
    statements: Sequence[JointStatement]
    units: str
    parts: Mapping[PartId, DraftPart]
    meetings: Sequence[Meeting] = ()

    @property
    def names(self) -> dict[PartId, str]:
        """The part that each copy is of."""
        return {part.id: part.name for part in self.parts.values()}

    def of(self, about: Sequence[str]) -> tuple[Spot, ...]:
        """The joints that a finding speaks of, by their ids or by the part that is tenoned."""
        found = tuple(self.by_id[name] for name in about if name in self.by_id)
        return found or tuple(spot for spot in self.by_id.values() if spot.part in about and spot.end)

    def statement_at(self, place: Place) -> JointStatement | None:
        """The statement that a place is in."""
        for statement in self.statements:
            if place == statement.place or any(place == at for _, at in statement.places):
                return statement
        return None


def spots_of(plans: Iterable[Plan], held: Iterable[Held], compass: Compass, draft: DraftPiece) -> Spots:
    """The joints of a piece, tenoned or held, and its statements, those too that made none."""
    found: dict[str, Spot] = {}
    for plan in plans:
        site = plan.site
        end = compass.word_of(site.direction)
        found[plan.id] = Spot(statement=site.statement, part=site.a.part.id, into=site.b.part.id, end=end)
    for each in held:
        found[each.id] = Spot(statement=each.statement, part=each.a.part.id, into=each.b.part.id)
    parts = {part.id: part for part in draft.parts}
    return Spots(by_id=found, statements=draft.joints, units=compass.units, parts=parts, meetings=draft.meetings)


def mended_finding(finding: Finding, spots: Spots) -> Finding:
    """The finding with the mends that its words say, unless it brings its own."""
    concerned = spots.of(finding.about)
    if not concerned:
        return finding
    offers = [(mend.say, _asked_by(mend)) for mend in finding.mends] or _offers(finding.mend)
    placed = [_mend(say, asked, concerned, spots) if asked else None for say, asked in offers]
    spoken = [] if finding.mends else _OR.split(finding.mend)
    drawn = [_redrawn(offer, concerned[0], spots) for offer in spoken]
    first = [_goes_first(offer, concerned[0], spots) for offer in spoken]
    mends = tuple(mend for mend in (*placed, *drawn, *first) if mend is not None)
    return replace(finding, mends=mends or finding.mends)


def _goes_first(offer: str, spot: Spot, spots: Spots) -> Mend | None:
    """The change of the meeting that gives a tenon the room, where there is a statement of it."""
    found = _FIRST.search(offer)
    for meeting in spots.meetings if found is not None else ():
        if found is not None and meeting.number and spot.into in meeting.into and found["part"] in meeting.of:
            change = set_text(("joints", meeting.number - 1, "by"), f"{found['part']} first")
            return Mend(say=offer.strip(" ,;."), changes=(change,))
    return None


def _redrawn(offer: str, spot: Spot, spots: Spots) -> Mend | None:
    """The change of a drawing that an offer speaks of, where one number of a part makes it."""
    found = _DRAWN.search(offer)
    if found is None or " and " in offer or "`" in offer:
        return None
    part = spots.parts.get(PartId(found["part"].strip()))
    side = found["at"] or found["on"] or found["to"] or spot.end
    if part is None or part.number:
        return None
    side = on_the_drawn_copy(part, (each for each in spots.parts.values() if each.name == part.name), side)
    sides = (side, OPPOSITE[side]) if found["to"] and side in OPPOSITE else (side,)
    if not all(word in part.grows for word in sides):
        return None
    text = found["by"] or found["way"] or f"-{(found['less'] or '').strip()}"
    do = "move part" if found["to"] else "grow part"
    change = Change(do=do, of=part.name, side=side, text=text.strip())
    freed = _length_freed(spot, spots) if found["there"] else ()
    return Mend(say=offer.strip(" ,;.") + (", its length by the rule" if freed else ""), changes=(change, *freed))


def _length_freed(spot: Spot, spots: Spots) -> tuple[Change, ...]:
    """A length that the maker gave, taken out, so that a tenon grows with the wood behind it."""
    number = spot.exception()
    ask = spot.statement.ask if number is None else spot.statement.exceptions[number].ask
    if isinstance(ask.length, Missing):
        return ()
    way: Way = ("joints", spot.statement.number - 1)
    return (set_text((*way, "length") if number is None else (*way, "except", number, "length"), None),)


def _asked_by(mend: Mend) -> Asked:
    """The words of a statement that a mend sets, where it does nothing else."""
    if any(change.do != "set" or len(change.path) < 3 or change.path[0] != "joints" for change in mend.changes):
        return ()
    return tuple(("/".join(str(step) for step in change.path[2:]), change.text) for change in mend.changes)


def mended_fault(fault: Fault, spots: Spots) -> Fault:
    """The fault of a joint with the mends that its words say, on its whole statement."""
    statement = spots.statement_at(fault.place)
    if fault.mends or statement is None:
        return fault
    mends = tuple(
        Mend(say=say, changes=_on_statement(statement, asked, spots.units)) for say, asked in _offers(fault.mend)
    )
    return replace(fault, mends=mends)


def _offers(mend: str) -> list[tuple[str, Asked]]:
    """What is offered: the words of each offer, and what they change."""
    found: list[tuple[str, Asked]] = []
    for offer in _OR.split(mend):
        if _ONLY_HELPS in offer:
            continue
        asked: dict[str, str | None] = {}
        for each in _FRAGMENT.finditer(offer):
            if each["word"] in _WORDS and "..." not in each["value"]:
                asked[each["word"]] = each["value"]
        for each in _TAKEN_OUT.finditer(offer):
            word = each["word"] or each["plain"]
            if word in _WORDS:
                asked[word] = None
        if asked:
            found.append((offer.strip(" ,;."), tuple(asked.items())))
    return found


def _mend(say: str, asked: Asked, concerned: Sequence[Spot], spots: Spots) -> Mend | None:
    """The changes that ask for it at these joints and, where that can be said, at no other."""
    changes: list[Change] = []
    for statement in {spot.statement.number: spot.statement for spot in concerned}.values():
        mine = [spot for spot in concerned if spot.statement is statement]
        changes += _at(mine, statement, asked, spots)
    return Mend(say=say, changes=tuple(dict.fromkeys(changes))) if changes else None


def _at(mine: Sequence[Spot], statement: JointStatement, asked: Asked, spots: Spots) -> list[Change]:
    every = [spot for spot in spots.by_id.values() if spot.statement is statement]
    changes: list[Change] = []
    for number in sorted({n for spot in mine if (n := spot.exception()) is not None}):
        ask = statement.exceptions[number].ask
        way: Way = ("joints", statement.number - 1, "except", number)
        changes += _written(way, asked, (ask, statement.ask), spots.units)
    plain = [spot for spot in mine if spot.exception() is None]
    if not plain:
        return changes
    if len(plain) == len([spot for spot in every if spot.exception() is None]):
        return [*changes, *_on_statement(statement, asked, spots.units)]
    narrowed = _narrowed(plain, every, spots.names)
    return [*changes, *_new_exception(statement, narrowed, asked, spots.units)]


def _on_statement(statement: JointStatement, asked: Asked, units: str) -> tuple[Change, ...]:
    return tuple(_written(("joints", statement.number - 1), asked, (statement.ask, JointAsk()), units))


def _written(way: Way, asked: Asked, said: tuple[JointAsk, JointAsk], units: str) -> list[Change]:
    """The words written at a statement or exception that says `said[0]`, where without it `said[1]` holds."""
    changes: list[Change] = []
    words = dict(asked)
    if words.get("end") in _THROUGH and not isinstance(said[0].length, Missing) and "length" not in words:
        changes.append(set_text((*way, "length"), None))
    for word, value in asked:
        pairs = [(each["side"], each["value"].strip()) for each in _PAIR.finditer(value or "")]
        if word == "shoulders" and pairs:
            if not said[0].shoulders and said[1].shoulders:
                kept = {side: exactly(length, units) for side, length in said[1].shoulders} | dict(pairs)
                changes.append(set_text((*way, word), _table(kept)))
            else:
                changes += [set_text((*way, word, side), text) for side, text in pairs]
        else:
            changes.append(set_text((*way, *word.split("/")), value))
    return changes


def _table(pairs: Mapping[str, str]) -> str:
    return "{" + ", ".join(f"{word}: {value}" for word, value in pairs.items()) + "}"


def _narrowed(plain: Sequence[Spot], every: Sequence[Spot], names: Mapping[PartId, str]) -> dict[str, str]:
    """`at` and `of` that fit these joints and no others of the statement, in as few words as will do."""
    wanted = set(id(spot) for spot in plain)

    def fits(ats: Sequence[str], parts: Sequence[str]) -> bool:
        found = {
            id(spot)
            for spot in every
            if (not ats or _called(spot.into, ats, names)) and (not parts or _called(spot.part, parts, names))
        }
        return found == wanted

    into = list(dict.fromkeys(names.get(spot.into, spot.into) for spot in plain))
    of = list(dict.fromkeys(names.get(spot.part, spot.part) for spot in plain))
    intos: list[str] = sorted({spot.into for spot in plain})
    ofs: list[str] = sorted({spot.part for spot in plain})
    none: list[str] = []
    for ats, parts in ((into, none), (none, of), (into, of), (intos, none), (none, ofs), (intos, ofs)):
        if fits(ats, parts):
            break
    shown = {"at": ats, "of": parts}
    return {word: said[0] if len(said) == 1 else f"[{', '.join(said)}]" for word, said in shown.items() if said}


def _called(part: PartId, names: Sequence[str], of: Mapping[PartId, str]) -> bool:
    return part in names or of.get(part, part) in names


def _new_exception(statement: JointStatement, narrowed: dict[str, str], asked: Asked, units: str) -> list[Change]:
    words = {word: value for word, value in asked if value is not None}
    if any("/" in word for word in words):
        return list(_on_statement(statement, asked, units))
    pairs = {each["side"]: each["value"].strip() for each in _PAIR.finditer(words.get("shoulders", ""))}
    if pairs:
        kept = {side: exactly(length, units) for side, length in statement.ask.shoulders}
        words["shoulders"] = _table(kept | pairs)
    if not words:
        return []
    way: Way = ("joints", statement.number - 1, "except", "+")
    return [set_text(way, _table({**narrowed, **words}))]
