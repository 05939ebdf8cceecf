"""Bars and layers of a billet: the bodies in 3MF and GLB, the textured blade, the pictures of its sides."""

import re

import lib3mf
import manifold3d
import numpy
from PIL import Image

import gltf
import meshes
import opencascade

# Relative: the bars' volumes add up to the blade's mesh this nearly.
MESHES = 1e-5

# Relative: the bars' exact solids add up to the blade's.
SOLIDS = 1e-4


def sharing(i, bar):
    """The names of a bar and of those beside it, and that of its wrap, if any."""
    name = bar.get("name", f"Bar {i + 1}")
    beside = [one.get("name", f"{name} part {k + 2}") for k, one in enumerate(bar.get("beside", []))]
    wrap = bar["wrap"].get("name", f"{name} wrap") if "wrap" in bar else None
    return [name, *beside], wrap


def bodies_of(i, bar):
    """The bodies of a bar's place, from the back to the edge and from left to right: a wrap is in a piece for each face."""
    core, wrap = sharing(i, bar)
    if plugs := bar.get("plugs"):
        # Around each plug a piece of the bar comes to at most four, itself not counted.
        pieces = [f"{core[0]}, piece {k + 1}" for k in range(1 + 3 * len(plugs))]
        return pieces + [f"{core[0]}, plug {k + 1}" for k in range(len(plugs))]
    if wrap is None:
        return core
    rows = [wrap] if bar["wrap"].get("back") else []
    rows += [wrap, *core, wrap]
    rows += [wrap] if bar["wrap"].get("edge") else []
    pieces = iter(range(1, len(rows)))
    return [f"{name}, piece {next(pieces)}" if name == wrap else name for name in rows]


def names_of(design):
    """The bodies that a design's bars become: those of the blade, then those that run into the tang."""
    bars = list(enumerate(design.get("bar", [])))
    names = [name for i, bar in bars for name in bodies_of(i, bar)]
    behind = [(i, {**bar, "plugs": []}) for i, bar in bars if bar.get("tang", True)]
    tang = [f"{name} (tang)" for i, bar in behind for name in bodies_of(i, bar)]
    return names + tang


def is_named(found, design):
    """Whether bodies are named and in order as a design's should be: of a wrap faces may be ground away, its pieces count on."""
    def whole(name):
        return re.sub(r", piece \d+", "", name)

    wraps = {whole(name) for name in names_of(design) if name != whole(name)}
    left = iter(names_of(design))
    in_order = all(any(whole(name) == whole(one) for one in left) for name in found)
    rest = [name for name in names_of(design) if whole(name) not in wraps]
    return in_order and len(set(found)) == len(found) and [name for name in found if whole(name) not in wraps] == rest


def bars_of(design):
    """How many bars are told apart by their colours; all plugs have one."""
    each = [sharing(i, bar) for i, bar in enumerate(design["bar"])]
    plugged = any(bar.get("plugs") for bar in design["bar"])
    return sum(len(core) + (wrap is not None) for core, wrap in each) + plugged


def places_of(design):
    """How many exact bodies there are: what shares a place in the stack is one."""
    bars = design["bar"]
    return len(bars) + sum(bar.get("tang", True) for bar in bars)


def check_3mf(tally, path, design, blade):
    """Each bar by lib3mf's strict reading and by trimesh and Manifold; together they are the blade's mesh."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    warnings = [reader.GetWarning(i) for i in range(reader.GetWarningCount())]
    tally.check(not warnings, f"{path.name}: lib3mf warns {warnings}")
    items, iterator = [], model.GetMeshObjects()
    while iterator.MoveNext():
        items.append(iterator.GetCurrentMeshObject())
    names = [item.GetName() for item in items]
    tally.check(is_named(names, design), f"{path.name}: bars {names}, wanted {names_of(design)}")
    colours = {colour_of(model, item) for item in items}
    tally.check(len(colours) == bars_of(design), f"{path.name}: a colour for each bar, found {sorted(colours)}")
    found = [meshes.mesh_of(item) for item in items]
    for mesh, name in zip(found, names):
        check_body(tally, mesh, f"{path.name}: {name}")
    total = sum(mesh.volume for mesh in found)
    tally.near(total, blade.volume, MESHES * blade.volume, f"{path.name}: volumes add up to the blade's")
    check_disjoint(tally, found, path.name)


def colour_of(model, item):
    """Name and colour of a body's base material."""
    group, place, has = item.GetObjectLevelProperty()
    material = model.GetBaseMaterialGroupByID(group)
    colour = material.GetDisplayColor(place)
    return material.GetName(place), (colour.Red, colour.Green, colour.Blue)


def check_body(tally, mesh, name):
    """A closed body without flaws."""
    tally.check(mesh.is_watertight and mesh.is_winding_consistent, f"{name}: watertight")
    tally.check(mesh.volume > 0.0, f"{name}: outward")
    tally.check(meshes.degenerate(mesh) == 0, f"{name}: no degenerate facet")
    tally.check(meshes.manifold_status(mesh) == "NoError", f"{name}: Manifold says {meshes.manifold_status(mesh)}")


def check_disjoint(tally, found, name):
    """No two bars overlap by more than single precision on their common wall allows."""
    solids = [manifold3d.Manifold(manifold3d.Mesh64(numpy.float64(m.vertices), numpy.uint64(m.faces))) for m in found]
    for i, one in enumerate(solids):
        for j in range(i + 1, len(solids)):
            common = (one ^ solids[j]).volume()
            most = meshes.SINGLE * min(found[i].area, found[j].area)
            tally.check(common <= most, f"{name}: bars {i} and {j} overlap by {common:.2e} mm³")


def check_glb(tally, path, wanted, design=None):
    """The Khronos validator's word, and the nodes that trimesh finds."""
    problems = gltf.validate(path)
    tally.check(not problems, f"{path.name}: the validator says {problems}")
    nodes = gltf.load(path)
    # Nodes have no order of their own.
    order = names_of(design) if design else []
    known = sorted(nodes, key=lambda name: order.index(name) if name in order else -1)
    named = is_named(known, design) if design else wanted is None or sorted(nodes) == sorted(wanted)
    tally.check(named, f"{path.name}: nodes {sorted(nodes)}, wanted {wanted}")
    tally.check(nodes and all(len(mesh.faces) > 0 for mesh in nodes.values()), f"{path.name}: nodes with faces")


def check_step(tally, path, design, exact):
    """Each bar's exact solid by OpenCASCADE; together they are the blade's volume (mm³)."""
    shape, messages = opencascade.read_step(path)
    tally.check(not messages, f"{path.name}: OpenCASCADE says {messages}")
    solids = opencascade.solids(shape) if shape is not None else []
    tally.check(len(solids) >= places_of(design), f"{path.name}: {len(solids)} solids")
    for i, solid in enumerate(solids):
        tally.check(opencascade.valid(solid), f"{path.name}: solid {i}: BRepCheck valid")
    total = sum(opencascade.mass(solid)[0] for solid in solids)
    tally.near(total, exact, SOLIDS * exact, f"{path.name}: volumes add up to the blade's")


def check_picture(tally, path, size, steels):
    """A side as large as the blade's box, in no more colours than white and the blends of the steels'."""
    picture = Image.open(path)
    dots = picture.info["dpi"][0] / 25.4
    for what, pixels, length in zip(("width", "height"), picture.size, size):
        # Two pixels of border on both sides, and what rounding up to whole pixels adds.
        tally.near(pixels / dots, length, 6.0 / dots, f"{path.name}: {what}")
    colours = {colour for _, colour in picture.getcolors(1 << 24)}
    tally.check((255, 255, 255) in colours and len(colours) > 1, f"{path.name}: shows the blade on white")
    tally.check(steels == 1 or len(colours) > 2, f"{path.name}: shows more than one steel")
