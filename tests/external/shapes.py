"""Plane shapes from meshes: silhouettes, cuts, points along borders. All in mm."""

import manifold3d
import numpy
import shapely
from shapely.geometry import Polygon

# mm: zigzags of a silhouette's border narrower than this are rounding, and would only lengthen it.
ZIGZAG = 1e-3


def solid_of(mesh):
    """A trimesh as Manifold's solid."""
    corners = numpy.asarray(mesh.vertices, dtype=numpy.float64)
    return manifold3d.Manifold(manifold3d.Mesh64(corners, numpy.asarray(mesh.faces, dtype=numpy.uint64)))


def silhouette(mesh):
    """The region that a mesh covers seen along z, without its holes: the union of its projected upward facets."""
    upward = mesh.face_normals[:, 2] > 1e-9
    triangles = shapely.polygons(mesh.triangles[upward][:, :, :2])
    return Polygon(largest(shapely.union_all(triangles)).exterior).simplify(ZIGZAG)


def largest(region):
    """The largest polygon of a region."""
    return max(shapely.get_parts(region), key=lambda part: part.area)


def level_cut(mesh, z):
    """The region in which a mesh is cut at a height."""
    return region_of(solid_of(mesh).slice(z).to_polygons())


def station_cut(mesh, x):
    """The region (z, y) in which a mesh is cut across x."""
    corners = mesh.vertices[:, [2, 1, 0]]
    # Swapping two axes mirrors, so the facets are turned over.
    swapped = type(mesh)(corners, mesh.faces[:, ::-1], process=False)
    return level_cut(swapped, x)


def region_of(rings):
    """The region inside an odd number of rings."""
    region = Polygon()
    for ring in rings:
        region = region.symmetric_difference(shapely.make_valid(Polygon(ring)))
    return region


def lines_along(region):
    """The borders of a region, outer and inner."""
    return shapely.get_parts(shapely.boundary(region))


def points_along(lines, apart):
    """Points at most `apart` along lines, their corners among them."""
    return shapely.points(shapely.get_coordinates(shapely.segmentize(lines, apart)))


def width_of(region, axis):
    """Extent of a region along x (0) or y (1)."""
    return region.bounds[axis + 2] - region.bounds[axis]
