"""The exact kernel: bodies bounded by planes, cylinders and splines, for STEP and for checks of volume and area.

The only module that knows this library, which is an optional extra (`step`) and holds the interpreter while it works:
never import it where a page is served. Its errors come out as ValueError with words.
"""
# ruff: noqa: I001 - the library's modules a line each would fill a page

from __future__ import annotations

import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from OCP import (
    BRep, BRepAdaptor, BRepAlgoAPI, BRepBndLib, BRepBuilderAPI, BRepCheck, BRepClass3d, BRepFilletAPI, BRepGProp,
    BRepLib, BRepOffsetAPI, BRepPrimAPI, Bnd, GC, GProp, Geom, Interface, Quantity, STEPCAFControl, STEPControl,
    ShapeUpgrade, TCollection, TDataStd, TDocStd, TopAbs, TopExp, TopLoc, TopoDS, XCAFApp, XCAFDoc,
    collections, gp,
)

from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.segment import Arc, Path, point_at
from batchwright.solids.brep_curve import Spline, exact_curves

Exact: TypeAlias = Any
"""A body of this kernel: opaque above this module."""

SAME = 1e-7
"""Points nearer than this are one [mm]: the kernel's own tolerance."""
BEYOND_ASCII = re.compile(r"[^\x00-\x7f]+")
SAMPLES = 7
"""Places along an edge at which its faces are looked at."""


# --- bodies


def prism(outline: Path, low: float, high: float) -> Exact:
    """A closed path of exact segments in (x, y), counter-clockwise, extruded along z."""
    wire = BRepBuilderAPI.BRepBuilderAPI_MakeWire()
    for edge in _edges(outline):
        wire.Add(edge)
        if not wire.IsDone():
            raise ValueError("the edges of an outline do not meet end to start")
    face = BRepBuilderAPI.BRepBuilderAPI_MakeFace(wire.Wire(), True)
    if not face.IsDone():
        raise ValueError("an outline encloses no plane face")
    lifted = moved(face.Face(), np.column_stack([np.eye(3), (0.0, 0.0, low)]))
    return BRepPrimAPI.BRepPrimAPI_MakePrism(lifted, gp.gp_Vec(0.0, 0.0, high - low)).Shape()


def _edges(path: Path) -> list[Any]:
    edges = []
    for one in exact_curves(path):
        if isinstance(one, Spline):
            curve = _spline(one)
        elif isinstance(one, Arc):
            middle = point_at(one, 0.5)
            curve = GC.GC_MakeArcOfCircle(_flat(one.start), _flat(middle), _flat(one.end)).Value()
        else:
            edges.append(BRepBuilderAPI.BRepBuilderAPI_MakeEdge(_flat(one.start), _flat(one.end)).Edge())
            continue
        edges.append(BRepBuilderAPI.BRepBuilderAPI_MakeEdge(curve).Edge())
    return edges


def _spline(one: Spline) -> Any:
    last = len(one.knots)
    poles = collections.Array1_gp_Pnt(1, len(one.poles))
    knots, counts = collections.Array1_double(1, last), collections.Array1_int(1, last)
    for number, pole in enumerate(one.poles, start=1):
        poles.SetValue(number, _flat(pole))
    for number, knot in enumerate(one.knots, start=1):
        knots.SetValue(number, knot)
        counts.SetValue(number, 4 if number in (1, last) else 2)
    return Geom.Geom_BSplineCurve(poles, knots, counts, 3)


def _flat(point: Vec2) -> Any:
    return gp.gp_Pnt(float(point[0]), float(point[1]), 0.0)


def polyhedron(polygons: Sequence[Array]) -> Exact:
    """A closed body of plane polygons (n, 3) that share their edges."""
    sewing = BRepBuilderAPI.BRepBuilderAPI_Sewing(1e-6)
    for polygon in polygons:
        wire = BRepBuilderAPI.BRepBuilderAPI_MakePolygon()
        for x, y, z in polygon.tolist():
            wire.Add(gp.gp_Pnt(x, y, z))
        wire.Close()
        face = BRepBuilderAPI.BRepBuilderAPI_MakeFace(wire.Wire(), True)
        if not face.IsDone():
            raise ValueError("a side of a stick is not plane")
        sewing.Add(face.Face())
    sewing.Perform()
    solid = BRepBuilderAPI.BRepBuilderAPI_MakeSolid()
    solid.Add(TopoDS.TopoDS.Shell(sewing.SewedShape()))
    return _outward(solid.Solid())


def rounds(stations: Sequence[tuple[float, Vec2, Vec2]]) -> Exact:
    """Ellipses square to x, one after another, joined straight: (x, middle (y, z), half width and half thickness)."""
    loft = BRepOffsetAPI.BRepOffsetAPI_ThruSections(True, True, 1e-6)
    for at, middle, (a, b) in stations:
        centre = gp.gp_Pnt(at, *middle)
        across = gp.gp_Dir(0.0, 1.0, 0.0) if a >= b else gp.gp_Dir(0.0, 0.0, 1.0)
        axes = gp.gp_Ax2(centre, gp.gp_Dir(1.0, 0.0, 0.0), across)
        round_one = gp.gp_Circ(axes, a) if abs(a - b) < SAME else gp.gp_Elips(axes, max(a, b), min(a, b))
        loft.AddWire(BRepBuilderAPI.BRepBuilderAPI_MakeWire(BRepBuilderAPI.BRepBuilderAPI_MakeEdge(round_one).Edge()).Wire())
    loft.Build()
    if not loft.IsDone():
        raise ValueError("the sections of a round stick do not join up")
    return _outward(loft.Shape())


def _outward(solid: Any) -> Exact:
    """The solid with its faces looking out."""
    whole = TopoDS.TopoDS.Solid(solid)
    BRepLib.BRepLib.OrientClosedSolid_s(whole)
    return whole


def moved(body: Exact, matrix: Array) -> Exact:
    """A body moved by a 3 x 4 matrix; a mirroring one leaves it right side out."""
    return BRepBuilderAPI.BRepBuilderAPI_Transform(body, _change(matrix), True).Shape()


def _change(matrix: Array) -> Any:
    change = gp.gp_Trsf()
    change.SetValues(*(float(value) for value in np.asarray(matrix, dtype=np.float64)[:3, :4].ravel()))
    return change


# --- booleans


def subtracted(body: Exact, tools: Sequence[Exact]) -> Exact:
    """What the tools leave of a body."""
    return _boolean(BRepAlgoAPI.BRepAlgoAPI_Cut(), body, tools) if tools else body


def united(body: Exact, others: Sequence[Exact]) -> Exact:
    """All the wood of several bodies, plane and round faces that run on made one where that stays sound."""
    if not others:
        return body
    whole = _boolean(BRepAlgoAPI.BRepAlgoAPI_Fuse(), body, others)
    merge = ShapeUpgrade.ShapeUpgrade_UnifySameDomain(whole, True, True, False)
    merge.Build()
    merged = merge.Shape()
    return merged if is_sound(merged) and len(pieces(merged)) == len(pieces(whole)) else whole


def common(a: Exact, b: Exact) -> Exact:
    """The wood that lies in both."""
    return _boolean(BRepAlgoAPI.BRepAlgoAPI_Common(), a, [b])


def _boolean(operation: Any, body: Exact, tools: Sequence[Exact]) -> Exact:
    for held, put in (([body], operation.SetArguments), (tools, operation.SetTools)):
        listed = collections.List_TopoDS_Shape()
        for one in held:
            listed.Append(one)
        put(listed)
    operation.Build()
    if not operation.IsDone():
        raise ValueError("two bodies could not be put together or apart")
    return operation.Shape()


def pieces(body: Exact) -> list[Exact]:
    """The solids of a body."""
    found = []
    explorer = TopExp.TopExp_Explorer(body, TopAbs.TopAbs_SOLID)
    while explorer.More():
        found.append(TopoDS.TopoDS.Solid(explorer.Current()))
        explorer.Next()
    return found


# --- measures


def is_sound(body: Exact) -> bool:
    """Whether the kernel's own checker finds nothing wrong: closed, oriented, no face crossing itself."""
    return bool(BRepCheck.BRepCheck_Analyzer(body).IsValid())


def volume(body: Exact) -> float:
    """Volume by the adaptive rule, since the plain one is off by 1e-4 where faces end in splines [mm^3]."""
    held = GProp.GProp_GProps()
    BRepGProp.BRepGProp.VolumePropertiesGK_s(body, held, 1e-6)
    return float(held.Mass())


def area(body: Exact) -> float:
    """Surface, plane faces with curved edges to a thousandth of a thousandth [mm^2]."""
    held = GProp.GProp_GProps()
    BRepGProp.BRepGProp.SurfaceProperties_s(body, held, 1e-4)
    return float(held.Mass())


def box_of(body: Exact) -> tuple[Array, Array]:
    """Low and high corner of a box that holds the body, with a little room, shape (3,) each [mm]."""
    held = Bnd.Bnd_Box()
    BRepBndLib.BRepBndLib.Add_s(body, held, False)
    low, high = held.CornerMin(), held.CornerMax()
    return np.array([low.X(), low.Y(), low.Z()]), np.array([high.X(), high.Y(), high.Z()])


def holds(body: Exact, point: Array) -> bool:
    """Whether a point lies in the wood."""
    place = gp.gp_Pnt(*(float(value) for value in point))
    return bool(BRepClass3d.BRepClass3d_SolidClassifier(body, place, SAME).State() == TopAbs.TopAbs_State.TopAbs_IN)


# --- edges


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Arris:
    """An edge between two faces. ends (2, 3), its first and last point, run so that face a lies to the left seen from
    outside; points (n, 3): places between them; normal_a, normal_b (n, 3): the faces' there; angle (n,): how far those
    turn, positive where the wood stands out [rad]."""

    edge: Any
    ends: Array
    points: Array
    normal_a: Array
    normal_b: Array
    angle: Array


def arrises(body: Exact) -> list[Arris]:
    """Every edge between two faces, once."""
    faces = collections.IndexedDataMap_TopoDS_Shape_List_TopoDS_Shape_TopTools_ShapeMapHasher()
    TopExp.TopExp.MapShapesAndAncestors_s(body, TopAbs.TopAbs_EDGE, TopAbs.TopAbs_FACE, faces)
    found = []
    for number in range(1, faces.Extent() + 1):
        edge = TopoDS.TopoDS.Edge(faces.FindKey(number))
        beside = [TopoDS.TopoDS.Face(face) for face in faces.FindFromIndex(number)]
        if len(beside) == 2 and not BRep.BRep_Tool.Degenerated_s(edge):
            found.append(_arris(edge, beside[0], beside[1]))
    return found


def _arris(edge: Any, a: Any, b: Any) -> Arris:
    curve = BRepAdaptor.BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    if _orientation_in(edge, a) == TopAbs.TopAbs_Orientation.TopAbs_REVERSED:
        first, last = last, first
    rows = []
    for at in np.linspace(first, last, SAMPLES + 2).tolist():
        point, along = gp.gp_Pnt(), gp.gp_Vec()
        curve.D1(at, point, along)
        way = math.copysign(1.0, last - first) * np.array([along.X(), along.Y(), along.Z()])
        normal_a, normal_b = (_normal(edge, face, at) for face in (a, b))
        across = np.cross(normal_a, normal_b)
        size = math.atan2(float(np.linalg.norm(across)), float(normal_a @ normal_b))
        place = np.array([point.X(), point.Y(), point.Z()])
        rows.append((place, normal_a, normal_b, math.copysign(size, float(across @ way))))
    points, normals_a, normals_b, angle = (np.array(column) for column in zip(*rows, strict=True))
    return Arris(
        edge=edge,
        ends=points[[0, -1]],
        points=points[1:-1],
        normal_a=normals_a[1:-1],
        normal_b=normals_b[1:-1],
        angle=angle[1:-1],
    )


def _orientation_in(edge: Any, face: Any) -> Any:
    explorer = TopExp.TopExp_Explorer(face, TopAbs.TopAbs_EDGE)
    while explorer.More():
        if explorer.Current().IsSame(edge):
            return explorer.Current().Orientation()
        explorer.Next()
    raise ValueError("an edge does not bound its own face")


def _normal(edge: Any, face: Any, at: float) -> Array:
    """The outward normal of a face at a place of one of its edges, length 1."""
    curve = BRep.BRep_Tool.CurveOnSurface_s(edge, face, 0.0, 0.0)
    where = curve.Value(at)
    point, out = gp.gp_Pnt(), gp.gp_Vec()
    BRepGProp.BRepGProp_Face(face).Normal(where.X(), where.Y(), point, out)
    normal = np.array([out.X(), out.Y(), out.Z()])
    length = float(np.linalg.norm(normal))
    return normal / length if length > 0.0 else normal


def rounded(body: Exact, edges: Sequence[Arris], radius: float) -> Exact:
    """A body with edges rounded; those that run on into them too. ValueError if the kernel cannot; look it over."""
    return _eased(BRepFilletAPI.BRepFilletAPI_MakeFillet(body), edges, radius)


def chamfered(body: Exact, edges: Sequence[Arris], leg: float) -> Exact:
    """A body with edges chamfered by as much on either side; raises as `rounded`."""
    return _eased(BRepFilletAPI.BRepFilletAPI_MakeChamfer(body), edges, leg)


def _eased(operation: Any, edges: Sequence[Arris], size: float) -> Exact:
    try:
        for arris in edges:
            if operation.Contour(arris.edge) == 0:
                operation.Add(size, arris.edge)
        operation.Build()
        if not operation.IsDone():
            raise ValueError("the edges could not be eased")
        return operation.Shape()
    except RuntimeError as error:
        raise ValueError("the edges could not be eased") from error


# --- files


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Product:
    """A body with its name and colour (sRGB shares), and every place it stands in: name and 3 x 4 matrix."""

    name: str
    body: Exact
    rgb: tuple[float, float, float]
    places: tuple[tuple[str, Array], ...]


def written(products: Sequence[Product], title: str) -> bytes:
    """Products as a STEP file (ISO 10303-21, AP242): an assembly of that title.

    Raises
    ------
    ValueError
        If the library cannot write it.
    """
    document = _document()
    shapes = XCAFDoc.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc.XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    whole = shapes.NewShape()
    TDataStd.TDataStd_Name.Set_s(whole, _text(title))
    for product in products:
        label = shapes.AddShape(product.body, False)
        TDataStd.TDataStd_Name.Set_s(label, _text(product.name))
        colour = Quantity.Quantity_Color(*product.rgb, Quantity.Quantity_TOC_sRGB)
        colours.SetColor(label, colour, XCAFDoc.XCAFDoc_ColorGen)
        for name, matrix in product.places:
            place = shapes.AddComponent(whole, label, TopLoc.TopLoc_Location(_change(matrix)))
            TDataStd.TDataStd_Name.Set_s(place, _text(name))
    shapes.UpdateAssemblies()
    STEPControl.STEPControl_Controller.Init_s()
    Interface.Interface_Static.SetCVal_s("write.step.schema", "AP242DIS")
    writer, stream = STEPCAFControl.STEPCAFControl_Writer(), io.BytesIO()
    if not writer.Transfer(document, STEPControl.STEPControl_StepModelType.STEPControl_AsIs):
        raise ValueError("the bodies could not be put into a STEP file")
    writer.WriteStream(stream)
    return BEYOND_ASCII.sub(_escaped, stream.getvalue().decode()).encode("ascii")


def _escaped(match: re.Match[str]) -> str:
    """Letters beyond ASCII as ISO 10303-21, 6.4.3.4, has them: readers of its first editions know no others."""
    if max(match.group()) > "\uffff":
        return f"\\X4\\{match.group().encode('utf-32-be').hex().upper()}\\X0\\"
    return f"\\X2\\{match.group().encode('utf-16-be').hex().upper()}\\X0\\"


def read(content: bytes) -> list[tuple[str, Exact]]:
    """Every body of a STEP file by the name of its place, where it stands."""
    reader, document = STEPCAFControl.STEPCAFControl_Reader(), _document()
    reader.ReadStream("batchwright.step", io.BytesIO(content))
    if not reader.Transfer(document):
        raise ValueError("the file holds no STEP model")
    found = collections.Sequence_TDF_Label()
    shapes = XCAFDoc.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    shapes.GetFreeShapes(found)
    parts = []
    for whole in found:
        inner = collections.Sequence_TDF_Label()
        shapes.GetComponents_s(whole, inner)
        parts += [(_name(label), shapes.GetShape_s(label)) for label in inner]
    return parts


def _document() -> Any:
    document = TDocStd.TDocStd_Document(_text("MDTV-XCAF"))
    XCAFApp.XCAFApp_Application.GetApplication_s().InitDocument(document)
    return document


def _text(words: str) -> Any:
    return TCollection.TCollection_ExtendedString(words, True)


def _name(label: Any) -> str:
    held = TDataStd.TDataStd_Name()
    label.FindAttribute(TDataStd.TDataStd_Name.GetID_s(), held)
    return str(held.Get().ToExtString())
