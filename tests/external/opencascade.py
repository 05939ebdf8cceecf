"""What OpenCASCADE finds in a STEP file: messages, solids, validity, mass, plane sections."""

import math
import os
import sys
import tempfile
from contextlib import contextmanager

from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.Geom import Geom_Plane, Geom_RectangularTrimmedSurface
from OCP.GeomAdaptor import GeomAdaptor_Curve
from OCP.GeomAPI import GeomAPI_IntSS
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ItemsByEntity, IFSelect_RetDone
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

# Points per edge of a section. An extreme inside an edge is refined by three-point parabolas after that.
SAMPLES = 65

# mm: how exactly a face is cut by a plane.
EXACT = 1e-6

# Relative error asked of the volume integration: three digits finer than what is compared.
INTEGRATION = 1e-9


@contextmanager
def captured():
    """Collects what C++ and Python print, in the list that it yields."""
    lines = []
    sys.stdout.flush()
    saved = [os.dup(1), os.dup(2)]
    with tempfile.TemporaryFile() as sink:
        try:
            os.dup2(sink.fileno(), 1)
            os.dup2(sink.fileno(), 2)
            yield lines
        finally:
            sys.stdout.flush()
            for number, old in enumerate(saved, start=1):
                os.dup2(old, number)
                os.close(old)
            sink.seek(0)
            lines.extend(sink.read().decode("utf-8", "replace").splitlines())


def messages_of(checks):
    """All fails and warnings of a list of checks."""
    found = []
    checks.Start()
    while checks.More():
        check = checks.Value()
        found += [f"fail: {check.CFail(i)}" for i in range(1, check.NbFails() + 1)]
        found += [f"warning: {check.CWarning(i)}" for i in range(1, check.NbWarnings() + 1)]
        checks.Next()
    return found


def read_step(path):
    """The shape of a STEP file and every message of fail or warning on the way to it."""
    reader = STEPControl_Reader()
    with captured() as printed:
        status = reader.ReadFile(str(path))
        found = messages_of(reader.WS().ModelCheckList(False))
        reader.PrintCheckLoad(False, IFSelect_ItemsByEntity)
        if status == IFSelect_RetDone:
            reader.TransferRoots()
            found += messages_of(reader.WS().TransferReader().LastCheckList())
            reader.PrintCheckTransfer(False, IFSelect_ItemsByEntity)
    if status != IFSelect_RetDone:
        return None, found + [f"status {status}"]
    words = ("err ", "fail", "warn", "check:")
    found += [line for line in printed if any(word in line.lower() for word in words)]
    return reader.OneShape(), found


def solids(shape):
    """The solids of a shape."""
    return [TopoDS.Solid_s(solid) for solid in explored(shape, TopAbs_SOLID)]


def valid(shape):
    """OpenCASCADE's own verdict on a shape."""
    return BRepCheck_Analyzer(shape, True).IsValid()


def mass(shape):
    """Volume and centre of mass."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, INTEGRATION, False, False)
    centre = properties.CentreOfMass()
    return properties.Mass(), (centre.X(), centre.Y(), centre.Z())


def box(shape):
    """Lowest and highest corner."""
    bounds = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, bounds, False, False)
    low, high = bounds.CornerMin(), bounds.CornerMax()
    return [[low.X(), low.Y(), low.Z()], [high.X(), high.Y(), high.Z()]]


class Border:
    """One edge of a plane section, from its first to its last point."""

    def __init__(self, curve):
        self.curve = curve
        self.low, self.high = curve.FirstParameter(), curve.LastParameter()

    def at(self, share):
        """Point (y, z) at a share of the parameter range."""
        point = self.curve.Value(self.low + (self.high - self.low) * share)
        return point.Y(), point.Z()

    def leaving(self, share):
        """Tangent (dy, dz) at a share of the parameter range."""
        point, tangent = gp_Pnt(), gp_Vec()
        self.curve.D1(self.low + (self.high - self.low) * share, point, tangent)
        return tangent.Y(), tangent.Z()

    def extreme(self, axis, sign):
        """The greatest value of sign times coordinate."""
        value = lambda share: sign * self.at(min(max(share, 0.0), 1.0))[axis]
        best = max(range(SAMPLES), key=lambda i: value(i / (SAMPLES - 1))) / (SAMPLES - 1)
        step = 1.0 / (SAMPLES - 1)
        while step > 1e-7:
            best = max((best - step / 2, best, best + step / 2), key=value)
            step /= 2
        return value(best)


def section(solid, at):
    """The borders of the cut across x = at, each face with the plane: that takes a fiftieth of a boolean cut's time, which
    seeks the nearest point of the whole face again and again."""
    plane = Geom_Plane(across(at))
    found = []
    for face in faces(solid):
        bounds = Bnd_Box()
        BRepBndLib.Add_s(face, bounds)
        if bounds.CornerMin().X() <= at <= bounds.CornerMax().X():
            patch = Geom_RectangularTrimmedSurface(BRep_Tool.Surface_s(face), *BRepTools.UVBounds_s(face))
            lines = GeomAPI_IntSS(patch, plane, EXACT)
            found += [Border(GeomAdaptor_Curve(lines.Line(i))) for i in range(1, lines.NbLines() + 1)]
    return found


def boolean_section(solid, at):
    """The same by a boolean cut of the solid as a whole."""
    cut = BRepAlgoAPI_Section(solid, across(at), False)
    cut.Approximation(True)
    cut.Build()
    return [Border(BRepAdaptor_Curve(TopoDS.Edge_s(edge))) for edge in explored(cut.Shape(), TopAbs_EDGE)]


def across(at):
    """The plane x = at."""
    return gp_Pln(gp_Pnt(at, 0, 0), gp_Dir(1, 0, 0))


def faces(shape):
    """The faces of a shape."""
    return [TopoDS.Face_s(face) for face in explored(shape, TopAbs_FACE)]


def explored(shape, kind):
    """All of a kind in a shape."""
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def extent(borders, axis):
    """Height (axis 0) or thickness (axis 1) of a section."""
    return max(b.extreme(axis, 1) for b in borders) + max(b.extreme(axis, -1) for b in borders)


def back_thickness(borders):
    """Distance between the upper ends of the two flanks: the back's corners, or below their rounding."""
    top = max(borders, key=lambda b: b.at(0.5)[0])
    return abs(flank_end(borders, top, 0.0) - flank_end(borders, top, 1.0))


def flank_end(borders, top, end):
    """z where the flank at one end of the back begins."""
    corner = top.at(end)
    following, share = next_border(borders, top, corner)
    dy, dz = following.leaving(share)
    flat = abs(top.at(0.0)[0] - top.at(1.0)[0]) < 1e-6 and abs(top.at(0.5)[0] - corner[0]) < 1e-6
    # Only a rounding leaves a flat back in the back's own direction.
    rounding = flat and abs(dy) < 0.02 * math.hypot(dy, dz)
    return following.at(1.0 - share)[1] if rounding else corner[1]


def next_border(borders, before, corner):
    """The border that goes on from a corner, and at which of its ends (0 or 1)."""
    ends = [(b, share) for b in borders if b is not before for share in (0.0, 1.0)]
    return min(ends, key=lambda end: math.dist(end[0].at(end[1]), corner))
