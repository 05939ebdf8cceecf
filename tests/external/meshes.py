"""What trimesh, Manifold and lib3mf find in an STL or 3MF file."""

import lib3mf
import manifold3d
import numpy
import trimesh

# mm: files in single precision keep 24 bits, 6e-5 mm at 900 mm.
SINGLE = 1e-4


def read_stl(path):
    """A trimesh of an STL file with coinciding corners merged, as the file has every corner thrice."""
    return trimesh.load_mesh(str(path), file_type="stl", process=True)


def read_3mf(path):
    """A trimesh of a 3MF's only object by lib3mf's strict reading, the reader's warnings, and its unit."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    warnings = [reader.GetWarning(i) for i in range(reader.GetWarningCount())]
    objects = []
    iterator = model.GetMeshObjects()
    while iterator.MoveNext():
        objects.append(iterator.GetCurrentMeshObject())
    found = [mesh_of(item) for item in objects]
    return found, warnings, model.GetUnit() == lib3mf.ModelUnit.MilliMeter


def mesh_of(item):
    """A lib3mf object's corners and facets, exactly as they are."""
    corners = numpy.array([list(v.Coordinates) for v in item.GetVertices()], dtype=float)
    facets = numpy.array([list(t.Indices) for t in item.GetTriangleIndices()], dtype=numpy.int64)
    return trimesh.Trimesh(corners, facets, process=False)


def degenerate(mesh):
    """Facets with a corner twice or without area."""
    twice = (mesh.faces[:, 0] == mesh.faces[:, 1]) | (mesh.faces[:, 1] == mesh.faces[:, 2])
    twice |= mesh.faces[:, 2] == mesh.faces[:, 0]
    return int(numpy.count_nonzero(twice | ~(mesh.area_faces > 0.0)))


def manifold_status(mesh):
    """Manifold's verdict, by name."""
    corners = numpy.asarray(mesh.vertices, dtype=numpy.float64)
    facets = numpy.asarray(mesh.faces, dtype=numpy.uint64)
    return manifold3d.Manifold(manifold3d.Mesh64(corners, facets)).status().name


def check(tally, mesh, entry, name):
    """Every demand on one mesh against its entry in the manifest."""
    tally.check(mesh.is_watertight, f"{name}: watertight")
    tally.check(mesh.is_winding_consistent, f"{name}: consistent winding")
    tally.check(mesh.volume > 0.0, f"{name}: outward")
    tally.check(degenerate(mesh) == 0, f"{name}: no degenerate facet, found {degenerate(mesh)}")
    tally.check(manifold_status(mesh) == "NoError", f"{name}: Manifold says {manifold_status(mesh)}")
    check_box(tally, mesh.bounds, entry["box_mm"], SINGLE, name)


def check_box(tally, found, wanted, within, name):
    """A bounding box: lowest and highest corner."""
    off = float(numpy.max(numpy.abs(numpy.asarray(found) - numpy.asarray(wanted))))
    tally.near(off, 0.0, within, f"{name}: bounding box")
