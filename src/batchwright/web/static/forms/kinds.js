// What the fields of the forms are: for each drawing of a part, each kind of joint, sizes, places and the piece itself.
// `kind` says how a field is filled in and written; `path` where it stands in the statement.

const COUNTS = [["", "one"], ["pair", "a pair, left and right"], ["front and back", "front and back"], ["four", "four"]];
const EDGES = [
  "long edges", "upper edges", "lower edges", "front edges", "back edges", "outer edges", "inner edges", "top end",
  "bottom end", "all",
]; // prettier-ignore

const expr = (path, label, more = {}) => ({ kind: "expr", path, label, ...more });
const pair = (path, label, more = {}) => ({ kind: "pair", path, label, ...more });
const choice = (path, label, choices, more = {}) => ({ kind: "choice", path, label, choices, ...more });
const names = (path, label, more = {}) => ({ kind: "names", path, label, ...more });

/** The four ways to draw a part. */
export const DRAWINGS = [
  ["box", "Box", "Straight and square to the piece: a rail, a top, a shelf, an upright leg."],
  ["stick", "Stick", "Straight from one point to another: a splayed leg, a stretcher."],
  ["strip", "Strip", "A batten bent through points, with a width: a back leg, an arm."],
  ["outline", "Outline", "Any outline, sawn out of a board."],
];

const AXES = { x: "Left and right (x)", y: "Front to back (y)", z: "Upwards (z)" };
const VIEW = {
  kind: "expr", path: ["drawn in"], label: "Drawn in", offers: ["front", "side", "plan"], need: true,
  example: "front", wide: true,
}; // prettier-ignore
const THIRD = [
  pair(["across"], "From and to, square to the view", { hint: "or give the thickness instead" }),
  expr(["thickness"], "Thickness", { hint: "centred on the view's plane" }),
];

/** The fields of each drawing. */
export const DRAWN = {
  box: ["x", "y", "z"].map((axis) =>
    pair(["box", axis], AXES[axis], {
      need: true,
      hint: axis === "x" ? "0 is the middle; a part's name ends the box in the middle of that part" : "",
    }),
  ),
  stick: [
    { kind: "point", path: ["stick", 0], label: "From", need: true, example: "8, 2, 16", hint: "across, back, up; or a place, or `leg at z 5`" },
    { kind: "point", path: ["stick", 1], label: "To", need: true, example: "9, 1, 0" },
    ...["x", "y", "z"].map((axis) =>
      expr(["section", axis], `Thick along ${axis}`, { hint: axis === "x" ? "give two of the three, or the diameter" : "" }),
    ),
    expr(["section", "round"], "Diameter, where it is round"),
    choice(["ends"], "Ends", [["", "square to the stick"], ["level", "level"], ["upright", "upright"]]),
    expr(["taper", "to"], "Tapers to", { fold: "Taper" }),
    expr(["taper", "from"], "The taper begins at", { fold: "Taper", hint: "along the stick from its first end" }),
    choice(["taper", "on"], "Tapered faces", [["", "all"], "inner faces", "outer faces", "front faces", "back faces"], { fold: "Taper" }),
  ],
  strip: [
    VIEW,
    { kind: "points", path: ["strip", "through"], label: "Through these points", need: true, example: "21, 0\n19, 14\n20, 30", hint: "one to a line" },
    { kind: "list", path: ["strip", "wide"], label: "Width", need: true, example: "1 5/8, 2 1/4, 2", hint: "one, or one for each point" },
    expr(["strip", "along"], "Its ends run along"),
    ...THIRD,
  ],
  outline: [
    VIEW,
    { kind: "points", path: ["outline"], label: "Outline", need: true, example: "0, 0\n12, 0\ncurve: [[6, 4], [0, 5]]", hint: "one corner or curve to a line; it closes itself" },
    expr(["mirror"], "Half an outline, mirrored about"),
    ...THIRD,
  ],
}; // prettier-ignore

const SIDES = ["front", "back", "left", "right", "top", "bottom", "inside", "outside"];

/** What any part may say. */
export const OF_A_PART = [
  choice(["count"], "How many", COUNTS),
  { kind: "points", path: ["edges"], label: "Eased edges", example: "round: 1/8, on: long edges", hint: `one to a line: round or chamfer, and on: ${EDGES.join(", ")}`, fold: "Edges and cuts" },
  { kind: "points", path: ["cut"], label: "Cuts", example: "level: 0, keep: above", hint: "one to a line, in order", fold: "Edges and cuts" },
  { kind: "points", path: ["shaped"], label: "Shaped by hand", example: "scooped: 3/8, on: upper face, x: [-6, 6]", hint: "one to a line: scooped, dished or pillowed with its depth, and on which face", fold: "Edges and cuts" },
  { kind: "expr", path: ["also sawn"], label: "Also sawn, on the same blank", example: "{on: edge, strip: {through: bow, wide: 1}}", fold: "Edges and cuts", wide: true },
  ...[["face side", "Face side"], ["face edge", "Face edge"], ["reference end", "Reference end"]].map(([word, label]) =>
    choice([word], label, [["", "by the rules"], ...SIDES], { fold: "Face marks" })),
  { kind: "words", path: ["wood"], label: "Wood, where it is not the piece's", fold: "Wood" },
  choice(["sawn"], "Sawn", [["", "as it comes"], "rift", "quarter", "flat"], { fold: "Wood" }),
  choice(["blank"], "Made of", [["", "one board, or as wide as it takes"], "edge-glued", "laminated", "pieced"], { fold: "Wood" }),
  { kind: "expr", path: ["grain"], label: "The grain runs along", offers: ["x", "y", "z", "across"], fold: "Wood" },
  expr(["repeat", "count"], "How many in the row", { fold: "A row of copies" }),
  expr(["repeat", "gap"], "Or the least gap", { fold: "A row of copies" }),
  choice(["repeat", "along"], "Set along", [["", "a curve, named below"], "x", "y", "z"], { fold: "A row of copies" }),
  expr(["repeat", "on"], "Set on the curve", { fold: "A row of copies" }),
  pair(["repeat", "between"], "Between", { fold: "A row of copies" }),
  choice(["repeat", "spacing"], "Spacing", [["", "even gaps"], "touching ends", "even pitch"], { fold: "A row of copies" }),
  { kind: "words", path: ["note"], label: "Note", fold: "Note" },
]; // prettier-ignore

const TENON = (first, label) => [
  names([first], label, { need: true }),
  names(["into"], "into", { need: true }),
  expr(["thickness"], "Thickness", { byRule: true }),
  expr(["width"], "Width", { byRule: true }),
  expr(["length"], "Length", { byRule: true }),
  choice(["end"], "The tenon ends", [["", "blind"], ["through", "through"], ["wedged", "through and wedged"]]),
  choice(["haunch"], "Haunch", [["", "none"], "top", "bottom"]),
  expr(["expect"], "How many joints this makes", { hint: "another number is then a fault" }),
  choice(["shoulder"], "Shoulder", [["", "flat"], "let in", "scribed"], { fold: "Shoulders" }),
  ...["top", "bottom", "front", "back", "inside", "outside", "all"].map((side) =>
    expr(["shoulders", side], side === "all" ? "Wood left all round" : `Wood left at the ${side}`, { fold: "Shoulders" }),
  ),
  expr(["pegs", "count"], "Pegs", { fold: "Pegs, wedges, tusk" }),
  expr(["pegs", "diameter"], "Diameter of a peg", { fold: "Pegs, wedges, tusk" }),
  expr(["pegs", "draw"], "Draw", { fold: "Pegs, wedges, tusk" }),
  expr(["proud"], "Stands proud", { fold: "Pegs, wedges, tusk" }),
  expr(["wedges"], "Wedges", { fold: "Pegs, wedges, tusk" }),
  expr(["tusk", "thickness"], "Thickness of a tusk", { fold: "Pegs, wedges, tusk" }),
  expr(["side by side"], "Side by side", { fold: "More" }),
  expr(["in line"], "In line", { fold: "More" }),
  choice(["angle in"], "The angle is in", [["", "the tenon"], "mortise"], { fold: "More" }),
  choice(["turned"], "Turned", [["", "the wide way"], "with the grain", "across"], { fold: "More" }),
  expr(["clearance"], "Clearance", { fold: "More" }),
];
const LATER = [{ kind: "list", path: ["at"], label: "Only at", fold: "More" }, { kind: "words", path: ["note"], label: "Note", fold: "More" }];
const EXCEPT = {
  kind: "points", path: ["except"], label: "Joints that differ", example: "at: back leg, length: 1",
  hint: "one to a line: at or of which parts, then what is otherwise there", fold: "More",
}; // prettier-ignore
const EXPECT = expr(["expect"], "How many joints this makes", { fold: "More" });

/** The kinds of joint: first word, name, fields. */
export const JOINTS = [
  ["tenon", "Mortise and tenon", [...TENON("tenon", "Tenons on"), EXCEPT, ...LATER]],
  ["loose tenon", "Loose tenon", [...TENON("loose tenon", "Ends of"), EXCEPT, ...LATER]],
  ["dowel", "Dowels", [
    names(["dowel"], "Ends of", { need: true }), names(["into"], "into", { need: true }),
    expr(["diameter"], "Diameter", { byRule: true }), expr(["count"], "Dowels in a joint"), expr(["length"], "Length", { byRule: true }),
    choice(["shoulder"], "Shoulder", [["", "flat"], "let in", "scribed"], { fold: "More" }),
    choice(["angle in"], "The angle is in", [["", "the tenon"], "mortise"], { fold: "More" }), EXPECT, EXCEPT, ...LATER]],
  ["meeting in", "Tenons that meet in one part", [
    names(["meeting in"], "They meet in", { need: true }), names(["of"], "Tenons of", { need: true }),
    { kind: "expr", path: ["by"], label: "They make room by", offers: ["mitre"], wide: true },
    expr(["gap"], "Gap", { byRule: true }), LATER[1]]],
  ["housing", "Housing", [
    names(["housing"], "Let in", { need: true }), names(["into"], "into", { need: true }), expr(["loose"], "Room for movement"), EXPECT, EXCEPT, ...LATER]],
  ["groove", "Groove", [
    names(["groove"], "Panel", { need: true }), names(["into"], "in grooves of", { need: true }), expr(["loose"], "Room for movement", { byRule: true }),
    choice(["ends"], "The groove is", [["", "stopped, as long as the panel"], ["through", "through"]], { fold: "More" }), EXPECT, EXCEPT, ...LATER]],
  ["notch", "Notch", [
    names(["notch"], "Notched", { need: true }), names(["around"], "around", { need: true }), expr(["gap"], "Room all round", { byRule: true }), EXPECT, EXCEPT, ...LATER]],
  ["halving", "Halving", [
    names(["halving"], "One", { need: true }), names(["with"], "with the other", { need: true }),
    expr(["on top"], "Which keeps its upper half"), EXPECT, ...LATER]],
  ["rest", "Rest", [names(["rest"], "Touches", { need: true }), names(["on"], "on", { need: true }), EXPECT, ...LATER]],
  ["screw", "Screws", [
    names(["screw"], "Through", { need: true }), names(["to"], "into", { need: true }), expr(["per crossing"], "At each crossing"),
    { kind: "words", path: ["size"], label: "Size", example: "no 8 x 1 1/2" }, choice(["slotted"], "Slotted", [["", "no"], "yes"]),
    expr(["counterbore"], "Heads sunk by", { fold: "More" }), EXPECT, EXCEPT, ...LATER]],
  ["button", "Buttons", [
    names(["button"], "Slots in", { need: true }), names(["to"], "hold", { need: true }), expr(["count"], "On each rail", { byRule: true }), EXPECT, EXCEPT, ...LATER]],
  ["glue", "Glue alone", [
    names(["glue"], "One", { need: true }), names(["to"], "to", { need: true }),
    expr(["slips", "thickness"], "Thickness of slips"), expr(["slips", "count"], "Slips along the edge"), EXPECT, ...LATER]],
]; // prettier-ignore

/** A size, or a number. */
export const SIZE = [
  expr(["is"], "It is", { need: true, example: "17 1/4" }),
  expr(["from"], "The least it may be", { hint: "with both, it can be changed by a slider" }),
  expr(["to"], "The most it may be"),
  expr(["step"], "Step of the slider"),
  { kind: "words", path: ["note"], label: "What it measures" },
];

const SEEN = choice(["view"], "View", [["front", "front"], ["side", "side"], ["plan", "plan"]], { need: true });

/** The sorts of place. */
export const PLACES = [
  ["point", "A point in space", [
    expr([0], "Left and right (x)", { need: true }), expr([1], "Front to back (y)", { need: true }), expr([2], "Upwards (z)", { need: true })]],
  ["line", "A line through two points", [
    SEEN, { kind: "point", path: ["line", 0], label: "From", need: true, example: "0, 0" }, { kind: "point", path: ["line", 1], label: "To", need: true, example: "1, 16" }]],
  ["angle", "A line at an angle", [
    SEEN, { kind: "point", path: ["through"], label: "Through", need: true, example: "18, 16" },
    expr(["angle"], "Angle", { need: true, example: "14 deg" }), choice(["from"], "Counted from", [["", "upright"], "level"])]],
  ["curve", "A bent batten", [
    SEEN, { kind: "points", path: ["curve"], label: "Through these points", need: true, example: "-1, 16\n9, 15\n19, 15 1/2", hint: "one to a line" }]],
  ["at", "A point of a view", [SEEN, { kind: "point", path: ["at"], label: "At", need: true, example: "17, 16" }]],
  ["beside", "Beside another line", [expr(["beside"], "Beside", { need: true }), expr(["by"], "By", { need: true })]],
  ["crossing", "Where two lines cross", [{ kind: "list", path: ["crossing"], label: "Lines", need: true, example: "back line, arm line" }]],
]; // prettier-ignore

/** The piece itself. */
export const PIECE = [
  { kind: "words", path: ["piece"], label: "Its name", need: true },
  { kind: "words", path: ["wood"], label: "Wood", need: true },
  choice(["hands"], "Left is", [["as seated", "as seated: +x is the left"], ["from the front", "from the front: +x is the right"]], { need: true }),
  { kind: "list", path: ["use"], label: "Use", example: "indoors, seat 1" },
  expr(["middle"], "Middle, front to back", { hint: "`front and back` and `four` mirror about it" }),
  choice(["face marks"], "Faces and edges are marked", [["", "outside, away from the middle"], ["inside", "inside"]]),
  choice(["units"], "A number without a unit is in", [["in", "inches"], ["mm", "millimetres"]], { need: true }),
]; // prettier-ignore
