"""Races our loft, mass, mesh, STL and STEP against OpenCASCADE building the same blades.

Usage: race.py RACE_PROGRAM DESIGN...

Our side starts from the design. OpenCASCADE starts from our finished rails in memory, which spares it the
outline, the sections and the interpolation: it rules faces between them, or sets rational ones where they are
round, sews a solid, cuts the holes out of it, takes its mass, meshes it at the same chord tolerance and writes
STL and STEP. Prints times, ratios and triangle counts.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from OCP.BRep import BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
)
from OCP.BRepFill import BRepFill
from OCP.BRepGProp import BRepGProp
from OCP.BRepLib import BRepLib
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.BRepTools import BRepTools
from OCP.Geom import Geom_BezierCurve, Geom_BSplineCurve, Geom_BSplineSurface
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.ShapeFix import ShapeFix_Face
from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer
from OCP.StlAPI import StlAPI_Writer
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal, TColStd_Array2OfReal
from OCP.TopAbs import TopAbs_FACE, TopAbs_SHELL
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS

import opencascade

# An odd number, so that the median is one of the runs.
RUNS = 5

# Radians: so wide that only the chord tolerance decides, as on our side.
ANGLE = 3.0

# mm: how far apart two borders of neighbouring faces may be and still be sewn.
SEAM = 1e-4

# Relative: two volumes this near are the same blade. By default OpenCASCADE's own are off by thousandths.
SAME = 1e-6

# The rails are cubics; round faces run across in quadratics.
DEGREE, ACROSS = 3, 2

# At most this share of OpenCASCADE's time is asked for.
WANTED = 1 / 15


def main(program, *designs):
    """Races every design; the exit code says whether all held."""
    return max([race(program, design) for design in designs])


def race(program, design):
    """Runs both sides and prints the comparison."""
    print(Path(design).stem)
    with tempfile.TemporaryDirectory() as room:
        step = Path(room) / "ours.step"
        ours = json.loads(subprocess.run([program, design, step], check=True, capture_output=True).stdout)
        blade, holes = prepared(ours)
        laps = [lap(blade, holes, ours["tolerance_mm"], Path(room)) for _ in range(RUNS)]
        shape, messages = opencascade.read_step(step)
        if messages:
            sys.exit(f"OpenCASCADE says of our STEP file: {messages}")
        on_ours = triangles_of(meshed(shape, ours["tolerance_mm"]))
    return report(ours, laps, on_ours)


def prepared(ours):
    """The curves and surfaces as OpenCASCADE's own, before the clock starts, and the holes."""
    edges = [curve(edge) for edge in ours["edges"]]
    faces = []
    for face in ours["faces"]:
        if "loops" in face:
            faces.append(("plane", [[edges[i] for i in loop] for loop in face["loops"]]))
        elif "middle" in face:
            faces.append(("round", surface(face)))
        else:
            faces.append(("ruled", (curve(face["low"]), curve(face["high"]))))
    return faces, ours["holes"]


def curve(what):
    """Points for a straight line, points and weight for an arc, else what a B-spline curve is made of."""
    poles = array(what["points"])
    if "weight" in what:
        weights = TColStd_Array1OfReal(1, 3)
        for i, weight in enumerate([1.0, what["weight"], 1.0], start=1):
            weights.SetValue(i, weight)
        return "arc", (poles, weights)
    if not what["knots"]:
        return "line", [gp_Pnt(*point) for point in what["points"]]
    return "spline", (poles, *knotted(what["knots"]))


def array(points):
    """Points as an array of OpenCASCADE's."""
    poles = TColgp_Array1OfPnt(1, len(points))
    for i, point in enumerate(points, start=1):
        poles.SetValue(i, gp_Pnt(*point))
    return poles


def knotted(all_knots):
    """Distinct knots, and how often each stands."""
    knots = sorted(set(all_knots))
    values, times = TColStd_Array1OfReal(1, len(knots)), TColStd_Array1OfInteger(1, len(knots))
    for i, knot in enumerate(knots, start=1):
        values.SetValue(i, knot)
        times.SetValue(i, all_knots.count(knot))
    return values, times


def surface(face):
    """What the rational surface of a round face is made of: three rows of poles along the blade."""
    rows = [face["low"]["points"], face["middle"], face["high"]["points"]]
    count = len(rows[0])
    weights = [[1.0] * count, face["weights"], [1.0] * count]
    poles, heavy = TColgp_Array2OfPnt(1, count, 1, 3), TColStd_Array2OfReal(1, count, 1, 3)
    for j in range(3):
        for i in range(count):
            poles.SetValue(i + 1, j + 1, gp_Pnt(*rows[j][i]))
            heavy.SetValue(i + 1, j + 1, weights[j][i])
    along, times = knotted(face["low"]["knots"])
    across, twice = knotted([0.0] * 3 + [1.0] * 3)
    return poles, heavy, along, across, times, twice, DEGREE, ACROSS


def lap(blade, holes, tolerance, room):
    """One run of the other side: seconds of each step, triangle count, volume."""
    clock = [time.perf_counter()]
    shape = pierced(solid_of(blade), holes)
    clock.append(time.perf_counter())
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, SAME, False, False)
    clock.append(time.perf_counter())
    meshed(shape, tolerance)
    clock.append(time.perf_counter())
    with opencascade.captured():
        binary = StlAPI_Writer()
        binary.ASCIIMode = False
        binary.Write(shape, str(room / "theirs.stl"))
        clock.append(time.perf_counter())
        writer = STEPControl_Writer()
        writer.Transfer(shape, STEPControl_AsIs)
        writer.Write(str(room / "theirs.step"))
        clock.append(time.perf_counter())
    times = [after - before for before, after in zip(clock, clock[1:])]
    return times, triangles_of(shape), properties.Mass()


def solid_of(blade):
    """The sewn solid of a list of faces."""
    sewing = BRepBuilderAPI_Sewing(SEAM)
    for kind, what in blade:
        sewing.Add(MAKERS[kind](what))
    sewing.Perform()
    explorer = TopExp_Explorer(sewing.SewedShape(), TopAbs_SHELL)
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(explorer.Current())).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def pierced(solid, holes):
    """The solid with its holes cut out."""
    for hole in holes:
        axis = gp_Ax2(gp_Pnt(*hole["centre"], hole["low"]), gp_Dir(0, 0, 1))
        drill = BRepPrimAPI_MakeCylinder(axis, hole["radius"], hole["high"] - hole["low"]).Shape()
        solid = BRepAlgoAPI_Cut(solid, drill).Shape()
    return solid


def edge(what):
    """A straight or curved edge."""
    kind, made_of = what
    if kind == "line":
        return BRepBuilderAPI_MakeEdge(*made_of).Edge()
    return BRepBuilderAPI_MakeEdge(Geom_BezierCurve(*made_of) if kind == "arc" else Geom_BSplineCurve(*made_of, DEGREE)).Edge()


def ruled(rails):
    """A face of straight lines between two rails."""
    return BRepFill.Face_s(*map(edge, rails))


def rounded(made_of):
    """A face of arcs between two rails."""
    return BRepBuilderAPI_MakeFace(Geom_BSplineSurface(*made_of), SEAM).Face()


def plane(loops):
    """A planar face inside its first loop and outside the others."""
    wires = []
    for loop in loops:
        maker = BRepBuilderAPI_MakeWire()
        for border in loop:
            maker.Add(edge(border))
        wires.append(maker.Wire())
    face = BRepBuilderAPI_MakeFace(wires[0], True)
    for wire in wires[1:]:
        face.Add(wire)
    if len(wires) == 1:
        return face.Face()
    # A hole's wire must run against the outer one; this turns it if it doesn't.
    turned = ShapeFix_Face(face.Face())
    turned.FixOrientation()
    return turned.Face()


MAKERS = {"ruled": ruled, "round": rounded, "plane": plane}


def meshed(shape, tolerance):
    """The shape, freshly meshed."""
    BRepTools.Clean_s(shape)
    BRepMesh_IncrementalMesh(shape, tolerance, False, ANGLE, False).Perform()
    return shape


def triangles_of(shape):
    """How many triangles a meshed shape has."""
    count = 0
    explorer = TopExp_Explorer(shape, TopAbs_FACE)
    while explorer.More():
        mesh = BRep_Tool.Triangulation_s(TopoDS.Face_s(explorer.Current()), TopLoc_Location())
        count += mesh.NbTriangles() if mesh is not None else 0
        explorer.Next()
    return count


def report(ours, laps, on_ours):
    """Prints the comparison; the exit code says whether the promised ratios hold."""
    steps = ["loft", "mass", "mesh", "stl", "step"]
    theirs = {step: statistics.median(times[i] for times, _, _ in laps) for i, step in enumerate(steps)}
    theirs["total"] = statistics.median(sum(times) for times, _, _ in laps)
    for step in [*steps, "total"]:
        mine = ours["seconds"][step]
        print(f"{step:6} ours {mine * 1e3:9.3f} ms  OpenCASCADE {theirs[step] * 1e3:9.3f} ms  ratio {mine / theirs[step]:.4f}")
    _, built, volume = laps[-1]
    print(f"triangles: ours {ours['triangles']}, OpenCASCADE {on_ours} on our STEP file, {built} on its own solid")
    print(f"volume: OpenCASCADE's differs by {abs(volume / ours['volume_mm3'] - 1):.2e} relative")
    ratio = ours["seconds"]["total"] / theirs["total"]
    lean = ours["triangles"] < on_ours
    same = abs(volume / ours["volume_mm3"] - 1) < SAME
    print(f"1/{1 / ratio:.1f} of the time, 1/{1 / WANTED:.0f} wanted; fewer triangles: {lean}; the same blade: {same}")
    return 0 if ratio <= WANTED and lean and same else 1


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
