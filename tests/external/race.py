"""Races our loft, mass, mesh, STL and STEP against OpenCASCADE building the same ruled blade.

Usage: race.py RACE_PROGRAM DESIGN

Our side starts from the design. OpenCASCADE starts from our finished rails in memory, which spares it the
outline, the sections and the interpolation: it rules faces between them, sews a solid, takes its mass, meshes
it at the same chord tolerance and writes STL and STEP. Prints times, ratios and triangle counts.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from OCP.BRep import BRep_Tool
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
from OCP.BRepTools import BRepTools
from OCP.Geom import Geom_BSplineCurve
from OCP.gp import gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.ShapeFix import ShapeFix_Face
from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer
from OCP.StlAPI import StlAPI_Writer
from OCP.TColgp import TColgp_Array1OfPnt
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal
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

# The rails are cubics.
DEGREE = 3


def main(program, design):
    """Runs both sides and prints the comparison."""
    with tempfile.TemporaryDirectory() as room:
        step = Path(room) / "ours.step"
        ours = json.loads(subprocess.run([program, design, step], check=True, capture_output=True).stdout)
        blade = prepared(ours)
        laps = [lap(blade, ours["tolerance_mm"], Path(room)) for _ in range(RUNS)]
        shape, messages = opencascade.read_step(step)
        if messages:
            sys.exit(f"OpenCASCADE says of our STEP file: {messages}")
        on_ours = triangles_of(meshed(shape, ours["tolerance_mm"]))
    return report(ours, laps, on_ours)


def prepared(ours):
    """The curves as OpenCASCADE's own, before the clock starts."""
    edges = [curve(edge) for edge in ours["edges"]]
    faces = []
    for face in ours["faces"]:
        if "loops" in face:
            faces.append(("plane", [[edges[i] for i in loop] for loop in face["loops"]]))
        else:
            faces.append(("ruled", (curve(face["low"]), curve(face["high"]))))
    return faces


def curve(what):
    """Two points for a straight line, else the arrays that a B-spline curve is made of."""
    poles = [gp_Pnt(*point) for point in what["points"]]
    if not what["knots"]:
        return poles
    knots = sorted(set(what["knots"]))
    arrays = TColgp_Array1OfPnt(1, len(poles)), TColStd_Array1OfReal(1, len(knots)), TColStd_Array1OfInteger(1, len(knots))
    for i, pole in enumerate(poles, start=1):
        arrays[0].SetValue(i, pole)
    for i, knot in enumerate(knots, start=1):
        arrays[1].SetValue(i, knot)
        arrays[2].SetValue(i, what["knots"].count(knot))
    return arrays


def lap(blade, tolerance, room):
    """One run of the other side: seconds of each step, triangle count, volume."""
    clock = [time.perf_counter()]
    shape = solid_of(blade)
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
        sewing.Add(ruled(*what) if kind == "ruled" else plane(what))
    sewing.Perform()
    explorer = TopExp_Explorer(sewing.SewedShape(), TopAbs_SHELL)
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(explorer.Current())).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def edge(what):
    """A straight or curved edge."""
    if isinstance(what, list):
        return BRepBuilderAPI_MakeEdge(*what).Edge()
    return BRepBuilderAPI_MakeEdge(Geom_BSplineCurve(*what, DEGREE)).Edge()


def ruled(low, high):
    """A face of straight lines between two rails."""
    return BRepFill.Face_s(edge(low), edge(high))


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
    fast = ours["seconds"]["total"] <= theirs["total"] / 5
    lean = ours["triangles"] < on_ours
    same = abs(volume / ours["volume_mm3"] - 1) < SAME
    print(f"at most a fifth of the time: {fast}; fewer triangles: {lean}; the same blade: {same}")
    return 0 if fast and lean and same else 1


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
