"""Equal findings are told once, with all they speak of."""

from __future__ import annotations

from batchwright.app.merge import merged
from batchwright.base.fault import Place
from batchwright.base.finding import Finding, Grade


def finding(what: str, about: str, used: float | None = None, grade: Grade = Grade.NEAR, line: int = 4) -> Finding:
    return Finding(
        code="short-tenon",
        grade=grade,
        what=what,
        mend="thicker wood",
        about=(about,),
        utilisation=used,
        place=Place("a.piece.yaml", line, 5),
    )


def test_the_worst_speaks_and_the_others_are_named() -> None:
    told = merged((finding("left one.", "left", 1.1), finding("right one.", "right", 1.3)))
    assert len(told) == 1
    assert told[0].what == "right one; and 1 more like it."
    assert told[0].about == ("right", "left")
    assert told[0].utilisation == 1.3


def test_other_places_and_grades_stay_apart_and_failing_comes_first() -> None:
    told = merged((finding("a", "x"), finding("b", "y", line=9), finding("c", "z", grade=Grade.FAILS, line=20)))
    assert [one.what for one in told] == ["c", "a", "b"]
