"""DXF: read back and audited with ezdxf; curves held against their closed forms."""

from __future__ import annotations

import hashlib
import io
import math
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf.document import Drawing

from batchwright.geometry.outline import Outline
from batchwright.geometry.segment import Arc, Cubic, Line, point_at
from batchwright.sheets.render.dxf import DxfForm, outline_dxf, render_dxf
from batchwright.sheets.scene.primitives import BODY, Curve, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import Stroke

from .drawn_leg import FRONT, LEG, drawn_leg


def read(text: str) -> Drawing:
    document = ezdxf.read(io.StringIO(text))
    audit = document.audit()
    assert not audit.errors and not audit.fixes
    return document


@pytest.mark.parametrize("form", [DxfForm(), DxfForm(inches=True), DxfForm(chords=0.02)])
def test_the_auditor_finds_nothing(form: DxfForm) -> None:
    document = read(render_dxf(drawn_leg(), form))
    assert document.dxfversion == "AC1024"
    kinds = Counter(entity.dxftype() for entity in document.modelspace())
    assert kinds["TEXT"] >= 10 and kinds["LINE"] > 20 and kinds["HATCH"] > 0


def test_layers_are_the_stroke_names() -> None:
    document = read(render_dxf(drawn_leg()))
    assert {stroke.value for stroke in Stroke} <= {layer.dxf.name for layer in document.layers}
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert {"outline", "hidden", "dimension", "hatch", "centre", "text"} <= used


def test_units_are_said_and_lengths_follow() -> None:
    line = Scene(items=(Curve(path=(Line((0, 0), (254.0, 0)),)),), name="a")
    metric, inches = read(render_dxf(line)), read(render_dxf(line, DxfForm(inches=True)))
    assert (metric.header["$INSUNITS"], metric.header["$MEASUREMENT"]) == (4, 1)
    assert (inches.header["$INSUNITS"], inches.header["$MEASUREMENT"]) == (1, 0)
    assert metric.modelspace()[0].dxf.end.x == pytest.approx(254.0)
    assert inches.modelspace()[0].dxf.end.x == pytest.approx(10.0)


def test_cubics_of_one_edge_become_one_spline_that_is_the_same_curve() -> None:
    """Reference: the Bezier points themselves against ezdxf's own B-spline evaluation."""
    document = read(outline_dxf(Outline(LEG)))
    splines = list(document.modelspace().query("SPLINE"))
    assert len(splines) == 2
    tool = splines[0].construction_tool()
    for index, cubic in enumerate(FRONT):
        for t in np.linspace(0.0, 1.0, 11):
            expected = point_at(cubic, float(t))
            got = tool.point(index + float(t))
            assert (got.x, got.y) == pytest.approx(expected, abs=1e-9)
    assert [entity.dxftype() for entity in document.modelspace()] == ["LINE", "SPLINE", "ARC", "SPLINE"]
    assert {entity.dxf.layer for entity in document.modelspace()} == {"pattern"}


@pytest.mark.parametrize("turn", [1.0, -1.0])
def test_an_arc_runs_through_its_three_points(turn: float) -> None:
    points = [(5.0 + 20.0 * math.cos(turn * a), 3.0 + 20.0 * math.sin(turn * a)) for a in (0.3, 1.0, 2.9)]
    document = read(render_dxf(Scene(items=(Curve(path=(Arc(*points),)),), name="a")))
    (arc,) = document.modelspace()
    ends = {(round(end.x, 9), round(end.y, 9)) for end in (arc.start_point, arc.end_point)}
    assert ends == {tuple(round(c, 9) for c in point) for point in (points[0], points[2])}
    assert (arc.dxf.center.x, arc.dxf.center.y, arc.dxf.radius) == pytest.approx((5.0, 3.0, 20.0))
    middle = math.degrees(math.atan2(points[1][1] - 3.0, points[1][0] - 5.0)) % 360.0
    assert (middle - arc.dxf.start_angle) % 360.0 < (arc.dxf.end_angle - arc.dxf.start_angle) % 360.0


def test_a_closed_outline_of_lines_and_arcs_is_one_closed_polyline() -> None:
    """A stadium 100 x 40: area by the closed form; ezdxf turns the bulges into arcs itself."""
    path = (
        Line((0, 0), (100, 0)),
        Arc((100, 0), (120, 20), (100, 40)),
        Line((100, 40), (0, 40)),
        Arc((0, 40), (-20, 20), (0, 0)),
    )
    document = read(outline_dxf(Outline(path)))
    (polyline,) = document.modelspace()
    assert polyline.dxftype() == "LWPOLYLINE" and polyline.closed
    arcs = [entity for entity in polyline.virtual_entities() if entity.dxftype() == "ARC"]
    assert [arc.dxf.radius for arc in arcs] == pytest.approx([20.0, 20.0])
    assert {round(arc.dxf.center.x, 9) for arc in arcs} == {0.0, 100.0}


def test_chords_stay_within_their_tolerance() -> None:
    document = read(outline_dxf(Outline(LEG), form=DxfForm(chords=0.05)))
    (polyline,) = document.modelspace()
    corners = np.array([point[:2] for point in polyline.get_points()])
    assert polyline.closed and len(corners) > 10
    for cubic in FRONT:
        for t in np.linspace(0.0, 1.0, 40):
            p = np.array(point_at(cubic, float(t)))
            a, b = corners, np.roll(corners, -1, axis=0)
            d = b - a
            s = np.clip(((p - a) * d).sum(axis=1) / (d * d).sum(axis=1), 0.0, 1.0)
            assert np.hypot(*(a + s[:, None] * d - p).T).min() <= 0.05 + 1e-9


def test_an_open_path_with_a_gap_in_its_names_is_split_into_two_splines() -> None:
    first = Cubic((0, 0), (1, 2), (3, 4), (5, 5), name="side left")
    second = Cubic((5, 5), (6, 6), (7, 7), (9, 9), name="end end")
    document = read(render_dxf(Scene(items=(Curve(path=(first, second)),), name="a")))
    assert [entity.dxftype() for entity in document.modelspace()] == ["SPLINE", "SPLINE"]


def test_letters_keep_their_height_beside_the_wood() -> None:
    """Letter size on paper is the em; a DXF text height is that of capitals: 0.729 em in these fonts."""
    scene = Scene(items=(Text(at=(3.0, 4.0), text="seat rail Ü 漢"),), name="a", scale=0.1)
    (text,) = read(render_dxf(scene)).modelspace()
    assert text.dxf.height == pytest.approx(BODY * 0.729 / 0.1)
    assert text.dxf.text == "seat rail Ü \ufffd"


def test_same_scene_same_bytes_in_another_process_too() -> None:
    code = (
        "import hashlib, sys; sys.path.insert(0, sys.argv[1]); from drawn_leg import drawn_leg;"
        "from batchwright.sheets.render.dxf import render_dxf;"
        "print(hashlib.sha256(render_dxf(drawn_leg()).encode()).hexdigest())"
    )
    folder = str(Path(__file__).parent)
    hashes = {
        subprocess.run(
            [sys.executable, "-c", code, folder],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "4")
    }
    text = render_dxf(drawn_leg())
    assert hashes == {hashlib.sha256(text.encode()).hexdigest() + "\n"}
    assert "ezdxf" not in text.split("ENTITIES")[0].split("HEADER")[1].split("ENDSEC")[0]


def test_an_arc_without_a_bend_is_a_line_and_an_open_end_is_closed() -> None:
    flat = Curve(path=(Arc((0, 0), (5, 0), (10, 0)),))
    open_cubic = Curve(path=(Cubic((0, 0), (5, 9), (9, 9), (20, 0)),), closed=True)
    corner = Curve(path=(Line((0, 0), (9, 0)), Line((9, 0), (9, 9))), closed=True)
    kinds = [e.dxftype() for e in read(render_dxf(Scene(items=(flat, open_cubic, corner), name="a"))).modelspace()]
    assert kinds == ["LINE", "SPLINE", "LINE", "LWPOLYLINE"]
