"""The words of joints: one table for each kind, so that a word in the wrong joint is told."""

# ruff: noqa: E501 - a table reads best with one word to a line
from __future__ import annotations

from batchwright.design.words.word import Table, Word

_EVERY = (
    Word("at", "Narrows it to an end (`front end`) or to joints at these parts.", "at: back leg"),
    Word("expect", "How many joints this must make; another number is a fault.", "expect: 8"),
    Word("note", "Free text for the sheets.", "note: cut these first"),
)

_INTO = Word("into", "The part, or parts, that is mortised.", "into: [front leg, back leg]", required=True)

_SIZES = (
    Word("thickness", "Of the tenon.", "thickness: 3/8", "by rule, to a cutter the shop owns"),
    Word("width", "Of the tenon.", "width: 3", "by rule"),
    Word("length", "From the shoulder along the tenon's own direction.", "length: 1", "by rule"),
    Word("side by side", "Tenons beside one another in the thickness.", "side by side: 2", "1"),
    Word("in line", "Tenons one above another in the width.", "in line: 2", "1"),
    Word("angle in", "`tenon`: a square mortise and an angled tenon. `mortise`: the tenon straight in line with its part.",
         "angle in: mortise", "tenon"),
    Word("end", "`blind`, `through` or `wedged`.", "end: through", "blind"),
    Word("proud", "How far a through tenon stands out.", "proud: 1/4", "0"),
    Word("wedges", "How many wedges.", "wedges: 2"),
    Word("tusk", "A wedge through the tenon beyond the mortised part.", "tusk: {thickness: 5/8}"),
    Word("shoulder", "`flat`, `let in` (the flat is cut into the mortised part) or `scribed`.", "shoulder: let in", "flat"),
    Word("shoulders", "Wood left beside the tenon.", "shoulders: {top: 1/2, outside: 1/4}", "by rule"),
    Word("turned", "`with the grain` or `across`: which way the mortise runs.", "turned: across",
         "the wide way of the section; with the grain where it is square or round"),
    Word("haunch", "`top` or `bottom`: a short part of the tenon left at that edge.", "haunch: top"),
    Word("pegs", "Pegs through the joint.", "pegs: {count: 2, diameter: 1/4, draw: 1/32}"),
    Word("clearance", "Instead of the shop's fit, over both cheeks.", "clearance: 1/128"),
)  # fmt: skip

_EXCEPT = Word("except", "Joints that differ; the last that fits wins.", "except: [{at: back leg, length: 1}]")

TABLES: tuple[Table, ...] = (
    Table("tenon", "Mortise and tenon", "Every copy of one part that meets a copy of another, at whichever end.",
          (Word("tenon", "The part, or parts, that the tenons are cut on.", "{tenon: rail, into: leg}", required=True),
           _INTO, *_SIZES, *_EVERY, _EXCEPT)),
    Table("loose tenon", "Loose tenon", "A slip of wood in two mortises.",
          (Word("loose tenon", "The part, or parts, whose ends are joined.", "{loose tenon: brace, into: post}", required=True),
           _INTO, *_SIZES, *_EVERY, _EXCEPT)),
    Table("dowel", "Dowels", "Round pins instead of a tenon.",
          (Word("dowel", "The part, or parts, whose ends are joined.", "{dowel: rail, into: leg, diameter: 3/8, count: 2}", required=True),
           _INTO,
           Word("diameter", "Of a dowel.", "diameter: 3/8", "by rule"),
           Word("count", "Dowels in one joint.", "count: 2", "2"),
           Word("length", "Of the dowel in the mortised part.", "length: 1", "by rule"),
           Word("shoulder", "`flat`, `let in` or `scribed`.", "shoulder: let in", "flat"),
           Word("angle in", "`tenon` or `mortise`.", "angle in: mortise", "tenon"),
           *_EVERY, _EXCEPT)),
    Table("housing", "Housing", "One part's shape cut out of another, as deep as it is drawn.",
          (Word("housing", "The part that is let in.", "{housing: shelf, into: side}", required=True),
           Word("into", "The part, or parts, that it is let into.", "into: side", required=True),
           Word("loose", "Room left for movement.", "loose: 1/16", "0"), *_EVERY, _EXCEPT)),
    Table("groove", "Groove", "A panel held loosely along its edges.",
          (Word("groove", "The panel.", "{groove: panel, into: [stile, rail], loose: 1/16}", required=True),
           Word("into", "The parts that are grooved.", "into: [stile, rail]", required=True),
           Word("loose", "Room left for movement, at each edge.", "loose: 1/16", "0"),
           Word("ends", "`stopped`: as long as the panel; `through`: along all of a straight part.", "ends: through", "stopped"), *_EVERY, _EXCEPT)),
    Table("notch", "Notch", "One part cut out around another that passes it, with room to move.",
          (Word("notch", "The part that is cut.", "{notch: shelf, around: leg}", required=True),
           Word("around", "The part, or parts, that pass it.", "around: leg", required=True),
           Word("gap", "Room all round.", "gap: 1/16", "as far as the wood moves there"), *_EVERY, _EXCEPT)),
    Table("halving", "Halving", "Two parts that cross, or lap at their ends, each cut half away: cross, end, corner and T laps.",
          (Word("halving", "One of the two.", "{halving: rail, with: post, on top: rail}", required=True),
           Word("with", "The other.", "with: post", required=True),
           Word("on top", "Which of them keeps its upper half.", "on top: rail"), *_EVERY)),
    Table("rest", "Rest", "Touches, nothing cut.",
          (Word("rest", "The part that touches.", "{rest: leg, on: top}", required=True),
           Word("on", "What it touches.", "on: top", required=True), *_EVERY)),
    Table("screw", "Screws", "Screws where two parts cross or touch.",
          (Word("screw", "The part that the screws go through.", "{screw: seat slat, to: side rail, per crossing: 2}", required=True),
           Word("to", "The part, or parts, that they go into.", "to: [side rail, centre rail]", required=True),
           Word("per crossing", "Screws at each crossing.", "per crossing: 2", "1"),
           Word("size", "The screw, as it is bought. Write `no 8`: `#` would begin a remark.", "size: no 8 x 1 1/2"),
           Word("slotted", "`yes`: slotted holes, as long as the wood moves there; or their length.", "slotted: yes", "no"),
           Word("counterbore", "How deep the heads are sunk; a plug may close it.", "counterbore: 3/8"), *_EVERY, _EXCEPT)),
    Table("button", "Buttons", "Buttons that hold a top and let it move.",
          (Word("button", "The part, or parts, with the slots.", "{button: [front rail, end rail], to: top, count: 3}", required=True),
           Word("to", "The part that is held.", "to: top", required=True),
           Word("count", "Buttons on each rail.", "count: 3", "by rule"), *_EVERY, _EXCEPT)),
    Table("glue", "Glue alone", "Edge to edge, with slips or without.",
          (Word("glue", "One part.", "{glue: top board, to: top board, slips: {thickness: 3/8, count: 6}}", required=True),
           Word("to", "The other.", "to: top board", required=True),
           Word("slips", "Slips of wood that line the edges up.", "slips: {thickness: 3/8, count: 6}"), *_EVERY)),
    Table("meeting", "Tenons that meet", "How tenons that meet in one part make room for one another.",
          (Word("meeting in", "The part they meet in.", "{meeting in: leg, of: [front rail, side rail], by: mitre}", required=True),
           Word("of", "The parts whose tenons meet.", "of: [front rail, side rail]", required=True),
           Word("by", "`mitre`, or the one that goes first: `side rail first`.", "by: mitre", "mitre"),
           Word("gap", "Between the tenons.", "gap: 1/16", "the shop's"),
           Word("note", "Free text for the sheets.", "note: try it dry"))),
    Table("except", "An exception", "Where it holds, then what is different there, in the words of its own joint. `pegs`, `haunch` and `tusk` may be `none`.",
          (Word("at", "At these parts, or this end.", "at: back leg"),
           Word("of", "Only joints of these parts.", "of: left side rail"), *_SIZES,
           Word("diameter", "Of a dowel.", "diameter: 3/8"), Word("count", "Of dowels or buttons.", "count: 3"),
           Word("per crossing", "Screws at each crossing.", "per crossing: 2"),
           Word("size", "The screw.", "size: no 10 x 2"),
           Word("slotted", "Slotted holes there, or not.", "slotted: no"),
           Word("counterbore", "How deep the heads are sunk.", "counterbore: 1/2"),
           Word("loose", "Room left for movement.", "loose: 1/8"),
           Word("gap", "Room round a notch.", "gap: 1/8"),
           Word("ends", "Of a groove.", "ends: through"))),
    Table("pegs", "Pegs", "Pegs through a joint.",
          (Word("count", "How many in a joint.", "count: 2", "by rule"),
           Word("diameter", "Their diameter.", "diameter: 1/4", "by rule"),
           Word("draw", "How far the hole in the tenon lies nearer the shoulder.", "draw: 1/32", "by rule"))),
    Table("tusk", "A tusk", "A loose wedge through a through tenon.",
          (Word("thickness", "Of the tusk.", "tusk: {thickness: 5/8}", required=True),)),
    Table("slips", "Slips", "Slips of wood along a glued edge.",
          (Word("thickness", "Of a slip.", "thickness: 3/8", required=True), Word("count", "How many along the edge.", "count: 6", required=True))),
    Table("shoulders", "Shoulders", "Wood left beside a tenon; a shoulder in the thickness moves the tenon.",
          tuple(Word(side, f"At the {side} of the piece." if side != "all" else "All round.", f"shoulders: {{{side}: 1/4}}")
                for side in ("all", "top", "bottom", "front", "back", "inside", "outside"))),
)  # fmt: skip

JOINT_KINDS: tuple[str, ...] = (
    "tenon", "loose tenon", "dowel", "housing", "groove", "halving", "notch", "rest", "screw", "button", "glue",
)  # fmt: skip
"""The words a joint statement can begin with; `meeting in` is the other."""
