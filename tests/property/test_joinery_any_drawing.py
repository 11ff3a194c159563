"""Whatever is drawn and asked for, joinery answers with a piece, its faults and its findings: it never raises."""

from __future__ import annotations

import math
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.base.fault import Level
from batchwright.model.draft import DraftPart, JointAsk, JointKind, JointStatement, Meeting, Otherwise, PartId, PegsAsk
from joinery_blocks import box, complete, piece, stick, tenon

near = st.integers(-12, 12).map(lambda value: value / 2)
size = st.integers(1, 12).map(lambda value: value / 4)
grains = st.sampled_from(["x", "y", "z"])
names = st.sampled_from(["a", "b", "c", "d"])


@st.composite
def any_part(draw: st.DrawFn, name: str) -> DraftPart:
    if draw(st.booleans()):
        ranges = []
        for _ in range(3):
            low = draw(near)
            ranges.append((low, low + draw(size) * draw(st.sampled_from([1, 1, 4]))))
        return box(name, *ranges, grain=draw(grains))
    start = (draw(near), draw(near), draw(near))
    way = (draw(near) / 4 + 0.3, draw(near), draw(near) + 0.1)
    end = tuple(a + b for a, b in zip(start, way))
    thick = draw(size)
    return stick(name, (start, end), (thick, thick * draw(st.sampled_from([1.0, 2.0]))))  # type: ignore[arg-type]


@st.composite
def any_ask(draw: st.DrawFn) -> JointAsk:
    said: dict[str, object] = {}
    options: dict[str, st.SearchStrategy[object]] = {
        "thickness": st.floats(0.5, 40.0),
        "width": st.floats(0.5, 120.0),
        "length": st.floats(0.5, 120.0),
        "side_by_side": st.integers(1, 4),
        "in_line": st.integers(1, 4),
        "angle_in": st.sampled_from(["tenon", "mortise"]),
        "end": st.sampled_from(["blind", "through", "wedged"]),
        "proud": st.floats(0.0, 30.0),
        "shoulder": st.sampled_from(["flat", "let in", "scribed"]),
        "shoulders": st.lists(
            st.tuples(st.sampled_from(["all", "top", "front", "inside", "left"]), st.floats(0.0, 30.0)), max_size=2
        ).map(tuple),
        "turned": st.sampled_from(["with the grain", "across"]),
        "haunch": st.sampled_from(["top", "bottom"]),
        "pegs": st.builds(PegsAsk, count=st.integers(1, 3), diameter=st.floats(3.0, 12.0)),
        "loose": st.floats(0.0, 4.0),
        "per_crossing": st.integers(1, 3),
        "size": st.sampled_from(["no 8 x 1 1/2", "5 x 40", "whatever"]),
        "count": st.integers(1, 4),
        "diameter": st.floats(3.0, 20.0),
    }
    for name in draw(st.sets(st.sampled_from(sorted(options)), max_size=6)):
        said[name] = draw(options[name])
    return JointAsk(**said)  # type: ignore[arg-type]


@st.composite
def any_statement(draw: st.DrawFn) -> JointStatement:
    of, into = draw(st.sets(names, min_size=1)), draw(st.sets(names, min_size=1))
    kind = draw(st.sampled_from([JointKind.TENON] * 4 + list(JointKind)))
    exceptions = (Otherwise(ask=draw(any_ask()), at=(PartId("a"),)),) if draw(st.booleans()) else ()
    statement = tenon(", ".join(sorted(of)), ", ".join(sorted(into)))
    return replace(statement, kind=kind, ask=draw(any_ask()), exceptions=exceptions)


meeting = st.builds(
    Meeting,
    into=st.just((PartId("a"),)),
    of=st.just(("b", "c")),
    by=st.sampled_from(["mitre", "b", "nobody"]),
    gap=st.floats(0.0, 5.0),
)


@given(
    st.tuples(*[any_part(name) for name in "abcd"]),
    st.lists(any_statement(), min_size=1, max_size=3),
    st.lists(meeting, max_size=1),
)
@settings(max_examples=120)
def test_any_drawing_gives_a_piece_and_no_traceback(
    parts: tuple[DraftPart, ...], joints: list[JointStatement], meetings: list[Meeting]
) -> None:
    made = complete(piece(*parts, joints=tuple(joints), meetings=tuple(meetings)))
    for fault in made.faults:
        assert fault.what and fault.mend and fault.level in Level
        assert "nan" not in str(fault) and "inf " not in str(fault)
    for finding in made.findings:
        assert finding.what and "nan" not in str(finding) and "inf " not in str(finding)
    for joint in made.joints:
        assert all(math.isfinite(sized.value) for _, sized in joint.sizes)
        assert all(math.isfinite(each.value) for each in joint.measures)
