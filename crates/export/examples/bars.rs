//! Writes a stack of coloured bars in every format that has colours, and a bar with a picture on its flank, for
//! other people's programs to read: `bars FOLDER`.

use std::error::Error;
use std::path::Path;

use brep::{Curve, Edge, EdgeUse, Face, Mesh, Shell, Surface};
use export::{Object, Paint, Raster, StepBody, Textured};
use glam::DVec3;
use solid::Solid;

/// The bars' names: such as a smith might give, with everything that formats have to escape.
const NAMES: [&str; 3] = ["Schneide <1095> & \"Kante\"", "smith's twist é", "Rücken"];

/// What they are made of; the last bar is of plain steel.
const PAINTS: [Option<Paint<'static>>; 3] = [
    Some(Paint { name: "dunkel <1095> & 'Öl'", srgb: [0.25, 0.26, 0.28] }),
    Some(Paint { name: "15N20", srgb: [0.85, 0.6, 0.2] }),
    None,
];

/// Size of a bar, mm.
const BAR: DVec3 = DVec3::new(120.0, 6.0, 4.0);

/// A box of this size (mm) with its least corner at `low`. Corner numbers count in x, then y, then z.
fn block(low: DVec3, size: DVec3) -> Shell {
    let corner =
        |i: usize| low + size * DVec3::new((i & 1) as f64, ((i >> 1) & 1) as f64, ((i >> 2) & 1) as f64);
    let mut shell = Shell { vertices: (0..8).map(corner).collect(), edges: Vec::new(), faces: Vec::new() };
    let sides = [
        ("left end", DVec3::NEG_X, [0, 4, 6, 2]),
        ("right end", DVec3::X, [1, 3, 7, 5]),
        ("edge side", DVec3::NEG_Y, [0, 1, 5, 4]),
        ("back side", DVec3::Y, [2, 6, 7, 3]),
        ("left flank", DVec3::NEG_Z, [0, 2, 3, 1]),
        ("right flank", DVec3::Z, [4, 5, 7, 6]),
    ];
    for (name, normal, ring) in sides {
        let uses = (0..4).map(|i| edge(&mut shell, ring[i], ring[(i + 1) % 4])).collect();
        let (origin, along) = (shell.vertices[ring[0]], normal.any_orthonormal_vector());
        let surface = Surface::Plane { origin, normal, along };
        shell.faces.push(Face { name: name.to_owned(), surface, loops: vec![uses] });
    }
    shell
}

/// The use of the edge from `start` to `end`, made where it isn't there yet.
fn edge(shell: &mut Shell, start: usize, end: usize) -> EdgeUse {
    let (low, high) = (start.min(end), start.max(end));
    let known = shell.edges.iter().position(|e| (e.start, e.end) == (low, high));
    let edge = known.unwrap_or_else(|| {
        shell.edges.push(Edge { start: low, end: high, curve: Curve::Line });
        shell.edges.len() - 1
    });
    EdgeUse { edge, forward: start < end }
}

/// The bars: two whole ones, and a third in two pieces.
fn bars() -> [Vec<Shell>; 3] {
    let at = |x: f64, level: f64| DVec3::new(x, level * BAR.y, 0.0);
    let short = BAR - DVec3::X * 70.0;
    [
        vec![block(at(0.0, 0.0), BAR)],
        vec![block(at(0.0, 1.0), BAR)],
        vec![block(at(0.0, 2.0), short), block(at(70.0, 2.0), short)],
    ]
}

/// The pieces of a bar as one mesh.
fn mesh(pieces: &[Shell]) -> Result<Mesh, Box<dyn Error>> {
    let (mut vertices, mut triangles) = (Vec::new(), Vec::new());
    for piece in pieces {
        let (mesh, first) = (Mesh::of(piece, 0.01)?, u32::try_from(vertices.len())?);
        vertices.extend_from_slice(mesh.vertices());
        triangles.extend(mesh.triangles().iter().map(|t| t.map(|i| i + first)));
    }
    Ok(Mesh::new(vertices, triangles)?)
}

/// Waves of two steels, `WIDE` by `HIGH` dots.
fn waves() -> Vec<u8> {
    let dark = |x: u32, y: u32| (f64::from(x) / 20.0).sin() * 8.0 + f64::from(y) > f64::from(HIGH) / 2.0;
    let dots = (0..HIGH).flat_map(|y| (0..WIDE).map(move |x| (x, y)));
    dots.flat_map(|(x, y)| if dark(x, y) { [70, 72, 75] } else { [190, 192, 196] }).collect()
}

/// Dots of the picture, five to the millimetre of a bar.
const WIDE: u32 = 600;
const HIGH: u32 = 30;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args_os().nth(1).ok_or("usage: bars FOLDER")?;
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    let bars = bars();
    let meshes = bars.iter().map(|bar| mesh(bar)).collect::<Result<Vec<_>, _>>()?;
    let objects = [0, 1, 2].map(|i| Object { name: NAMES[i], mesh: &meshes[i], paint: PAINTS[i] });
    std::fs::write(folder.join("bars.3mf"), export::three_mf_set("Fährhaus stack", &objects)?)?;
    std::fs::write(folder.join("bars.glb"), export::glb_set("Fährhaus stack", &objects)?)?;
    std::fs::write(folder.join("bars.step"), steps(&bars)?)?;
    let dots = waves();
    let picture = Raster { width: WIDE, height: HIGH, rgb: &dots };
    std::fs::write(folder.join("waves.png"), export::picture_png(&picture, 5000)?)?;
    std::fs::write(folder.join("waves.glb"), pictured(&picture)?)?;
    Ok(())
}

/// The bars as solids.
fn steps(bars: &[Vec<Shell>; 3]) -> Result<Vec<u8>, Box<dyn Error>> {
    let solids = |bar: &Vec<Shell>| bar.iter().map(solid::solid).collect::<Result<Vec<_>, _>>();
    let solids = bars.iter().map(solids).collect::<Result<Vec<_>, _>>()?;
    let solids: Vec<Vec<&Solid>> = solids.iter().map(|bar| bar.iter().collect()).collect();
    let bodies = [0, 1, 2].map(|i| StepBody { name: NAMES[i], solids: &solids[i], paint: PAINTS[i] });
    Ok(export::step("Fährhaus stack", &bodies)?)
}

/// A whole bar with the picture on its flanks: seen from above each vertex lies in it where it is.
fn pictured(picture: &Raster<'_>) -> Result<Vec<u8>, Box<dyn Error>> {
    let mesh = Mesh::of(&block(DVec3::ZERO, BAR), 0.01)?;
    let uv: Vec<_> = mesh.vertices().iter().map(|v| [v.x / BAR.x, 1.0 - v.y / BAR.y]).collect();
    let body = Textured {
        name: "bar é <&'\">",
        positions: mesh.vertices(),
        uv: &uv,
        triangles: mesh.triangles(),
        picture,
    };
    Ok(export::glb_textured(&body)?)
}
