//! DXF R2000: a drawing in mm for cutting machines and CAD, one layer a layer.

use ::dxf::entities::{Arc, Entity, EntityType, Line, LwPolyline, Spline, Text};
use ::dxf::enums::{AcadVersion, DrawingUnits, HorizontalTextJustification, Units};
use ::dxf::tables::Layer as Table;
use ::dxf::{Color, Drawing as File, LwPolylineVertex, Point};
use brep::Piece;
use drawing::{Anchor, Drawing, Ink, Item, Layer, Mark};
use glam::DVec2;

use crate::arcs::short;
use crate::fault::ExportFault;
use crate::sound::sound;

/// A header in which every clock stands at the beginning of 2000 (Julian day 2451544.5) and every random id is
/// zero, because the library would otherwise write today's.
const HEADER: &str = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n\
9\n$TDCREATE\n40\n2451544.5\n9\n$TDUCREATE\n40\n2451544.5\n9\n$TDUPDATE\n40\n2451544.5\n9\n$TDUUPDATE\n40\n2451544.5\n\
9\n$HANDSEED\n5\n10\n9\n$FINGERPRINTGUID\n2\n{00000000-0000-0000-0000-000000000000}\n\
9\n$VERSIONGUID\n2\n{00000000-0000-0000-0000-000000000000}\n\
0\nENDSEC\n0\nEOF\n";

/// What stands before a table's name. The library writes no handle for the table itself, though R13 and later want
/// one; the header's first free handle, 10 in hexadecimal, leaves room for the nine tables.
const TABLE: &str = "TABLE\r\n  2\r\n";

/// Line weight of the layer (DXF reference, group code 370).
const BY_LAYER: i16 = -1;

/// Knots of a cubic Bézier curve as a B-spline.
const KNOTS: [f64; 8] = [0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0];

/// The file of a drawing. Its paths of lines and arcs are polylines; those with other curves are taken apart, and a
/// filled path is its outline.
///
/// # Errors
/// [`ExportFault::Empty`] for an empty drawing, [`ExportFault::NotFinite`] for a number that is not finite,
/// [`ExportFault::Name`] for a control character in text.
pub fn dxf(drawing: &Drawing) -> Result<Vec<u8>, ExportFault> {
    let plain = sound(drawing)?;
    let mut file = blank()?;
    let used = Layer::ALL.into_iter().filter(|layer| plain.items.iter().any(|item| item.layer == *layer));
    for layer in used {
        file.add_layer(table(layer));
    }
    for (layer, entity) in plain.items.iter().flat_map(entities) {
        let mut entity = Entity::new(entity);
        layer.name().clone_into(&mut entity.common.layer);
        entity.common.lineweight_enum_value = BY_LAYER;
        file.add_entity(entity);
    }
    if file.entities().next().is_none() {
        return Err(ExportFault::Empty);
    }
    let mut bytes = Vec::new();
    file.save(&mut bytes).map_err(ExportFault::writer)?;
    String::from_utf8(bytes).map(|text| with_handles(&text).into_bytes()).map_err(ExportFault::writer)
}

/// The text with a handle for each table.
fn with_handles(text: &str) -> String {
    let mut parts = text.split(TABLE);
    let head = parts.next().unwrap_or_default().to_owned();
    (1..).zip(parts).fold(head, |whole, (handle, part)| {
        let (name, rest) = part.split_once("\r\n").unwrap_or((part, ""));
        format!("{whole}{TABLE}{name}\r\n  5\r\n{handle:X}\r\n{rest}")
    })
}

/// A file in mm without entities.
fn blank() -> Result<File, ExportFault> {
    let mut file = File::load(&mut HEADER.as_bytes()).map_err(ExportFault::writer)?;
    file.normalize();
    file.header.version = AcadVersion::R2000;
    file.header.default_drawing_units = Units::Millimeters;
    file.header.drawing_units = DrawingUnits::Metric;
    Ok(file)
}

/// A layer's entry in the table of layers: colour 7 is black on paper, 8 grey, 1 red, 5 blue.
fn table(layer: Layer) -> Table {
    let color = Color::from_index(match layer.ink() {
        Some(Ink::Red) => 1,
        Some(Ink::Blue) => 5,
        None if layer.pen().grey > 0.0 => 8,
        None => 7,
    });
    Table {
        name: layer.name().to_owned(),
        color,
        line_type_name: "CONTINUOUS".to_owned(),
        ..Table::default()
    }
}

/// What an item becomes.
fn entities(item: &Item) -> Vec<(Layer, EntityType)> {
    let made = match &item.mark {
        Mark::Path { pieces, closed, .. } => path(pieces, *closed),
        Mark::Text { at, height, anchor, turn, text } => {
            vec![line_of_text(*at, *height, *anchor, *turn, text)]
        }
        Mark::Dimension { .. } => Vec::new(),
    };
    made.into_iter().map(|entity| (item.layer, entity)).collect()
}

fn path(pieces: &[Piece], closed: bool) -> Vec<EntityType> {
    if pieces.is_empty() {
        Vec::new()
    } else if pieces.iter().any(|piece| matches!(piece, Piece::Cubic(_))) {
        pieces.iter().map(alone).collect()
    } else {
        vec![polyline(&pieces.iter().flat_map(short).collect::<Vec<_>>(), closed)]
    }
}

/// A polyline of lines and arcs under half a turn.
fn polyline(pieces: &[Piece], closed: bool) -> EntityType {
    let mut line = LwPolyline::default();
    line.set_is_closed(closed);
    line.vertices = pieces.iter().map(|piece| vertex(piece.at(0.0).0, bulge(piece))).collect();
    if !closed {
        line.vertices.extend(pieces.last().map(|piece| vertex(piece.at(1.0).0, 0.0)));
    }
    EntityType::LwPolyline(line)
}

fn vertex(at: DVec2, bulge: f64) -> LwPolylineVertex {
    LwPolylineVertex { x: at.x, y: at.y, bulge, ..LwPolylineVertex::default() }
}

/// The tangent of a quarter of the angle swept, positive to the left (DXF reference, group code 42).
fn bulge(piece: &Piece) -> f64 {
    match piece {
        Piece::Arc(_, _, from, to) => (0.25 * (to - from)).tan(),
        _ => 0.0,
    }
}

/// A piece as an entity of its own.
fn alone(piece: &Piece) -> EntityType {
    match piece {
        Piece::Straight(a, b) => EntityType::Line(Line::new(point(*a), point(*b))),
        Piece::Arc(centre, radius, from, to) => arc(*centre, *radius, from.min(*to), from.max(*to)),
        Piece::Cubic(controls) => spline(controls),
    }
}

/// An arc, which always turns left.
fn arc(centre: DVec2, radius: f64, from: f64, to: f64) -> EntityType {
    let degrees = |angle: f64| angle.to_degrees().rem_euclid(360.0);
    EntityType::Arc(Arc::new(point(centre), radius, degrees(from), degrees(to)))
}

fn spline(controls: &[DVec2; 4]) -> EntityType {
    let control_points = controls.iter().copied().map(point).collect();
    let mut spline =
        Spline { degree_of_curve: 3, knot_values: KNOTS.to_vec(), control_points, ..Spline::default() };
    spline.set_is_planar(true);
    EntityType::Spline(spline)
}

/// A line of text as DXF has it.
fn line_of_text(at: DVec2, height: f64, anchor: Anchor, turn: f64, text: &str) -> EntityType {
    EntityType::Text(Text {
        location: point(at),
        second_alignment_point: point(at),
        text_height: height,
        value: text.to_owned(),
        rotation: turn.to_degrees(),
        horizontal_text_justification: match anchor {
            Anchor::Start => HorizontalTextJustification::Left,
            Anchor::Middle => HorizontalTextJustification::Center,
            Anchor::End => HorizontalTextJustification::Right,
        },
        ..Text::default()
    })
}

fn point(at: DVec2) -> Point {
    Point::new(at.x, at.y, 0.0)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::fixtures::{bar, every_mark, label, lines, path as drawn};

    fn read(drawing: &Drawing) -> File {
        File::load(&mut dxf(drawing).unwrap().as_slice()).unwrap()
    }

    fn kind(entity: &Entity) -> &'static str {
        match entity.specific {
            EntityType::LwPolyline(_) => "polyline",
            EntityType::Line(_) => "line",
            EntityType::Arc(_) => "arc",
            EntityType::Spline(_) => "spline",
            EntityType::Text(_) => "text",
            _ => "other",
        }
    }

    #[test]
    fn a_bar_reads_back_in_millimetres() {
        let file = read(&bar());
        assert_eq!(file.header.version, AcadVersion::R2000);
        assert_eq!(
            (file.header.default_drawing_units, file.header.drawing_units),
            (Units::Millimeters, DrawingUnits::Metric)
        );
        let entity = file.entities().next().unwrap();
        let EntityType::LwPolyline(line) = &entity.specific else { panic!("{entity:?}") };
        let corners: Vec<_> = line.vertices.iter().map(|v| (v.x, v.y)).collect();
        assert_eq!(corners, [(0.0, 0.0), (100.0, 0.0), (100.0, 10.0), (0.0, 10.0)]);
        assert!(line.is_closed() && entity.common.layer == "outline");
    }

    #[test]
    fn every_layer_holds_its_marks() {
        let file = read(&every_mark());
        let mut counts = BTreeMap::new();
        for entity in file.entities() {
            *counts.entry((entity.common.layer.clone(), kind(entity))).or_insert(0) += 1;
        }
        let counts: Vec<_> = counts.iter().map(|((layer, kind), n)| (layer.as_str(), *kind, *n)).collect();
        let want = [
            ("centre", "polyline", 1),
            ("dimension", "polyline", 25),
            ("dimension", "text", 5),
            ("outline", "arc", 1),
            ("outline", "line", 1),
            ("outline", "polyline", 2),
            ("outline", "spline", 1),
            ("sheet", "polyline", 1),
            ("text", "text", 3),
        ];
        assert_eq!(counts, want);
        let named: Vec<_> = file.layers().map(|layer| layer.name.as_str()).collect();
        assert_eq!(named, ["0", "outline", "centre", "dimension", "text", "sheet"]);
    }

    #[test]
    fn cuts_are_red_and_marks_blue() {
        let mut drawing = Drawing::default();
        drawing.rectangle(Layer::Cut, [DVec2::ZERO, DVec2::ONE], false);
        drawing.line(Layer::Mark, DVec2::ZERO, DVec2::ONE);
        drawing.line(Layer::Outline, DVec2::ZERO, DVec2::ONE);
        let file = read(&drawing);
        let color = |name: &str| file.layers().find(|l| l.name == name).and_then(|l| l.color.index());
        assert_eq!([color("cut"), color("mark"), color("outline")], [Some(1), Some(5), Some(7)]);
    }

    #[test]
    fn bulges_are_those_of_the_arcs() {
        let half = Piece::Arc(DVec2::ZERO, 5.0, std::f64::consts::PI, 0.0);
        let mut pieces = lines(&[[-20.0, 0.0], [-5.0, 0.0]]);
        pieces.push(half);
        let file = read(&Drawing { items: vec![drawn(Layer::Outline, pieces, false)] });
        let EntityType::LwPolyline(line) = &file.entities().next().unwrap().specific else { panic!() };
        let bulges: Vec<_> = line.vertices.iter().map(|v| v.bulge).collect();
        // Half a turn in two parts: each a quarter turn to the right, −tan 22.5°.
        let want = [0.0, 1.0 - 2f64.sqrt(), 1.0 - 2f64.sqrt(), 0.0];
        assert!(bulges.iter().zip(want).all(|(a, b)| (a - b).abs() < 1e-9), "{bulges:?}");
        assert_eq!((line.vertices.len(), line.is_closed()), (4, false));
    }

    #[test]
    fn curves_and_words_keep_their_numbers() {
        let file = read(&every_mark());
        let curve = file
            .entities()
            .find_map(|e| if let EntityType::Spline(s) = &e.specific { Some(s) } else { None });
        let curve = curve.unwrap();
        assert_eq!((curve.degree_of_curve, curve.knot_values.as_slice()), (3, KNOTS.as_slice()));
        assert_eq!(curve.control_points[1], Point::new(110.0, 45.0, 0.0));
        let word = |text: &str| {
            file.entities().find_map(|entity| match &entity.specific {
                EntityType::Text(found) if found.value == text => Some(found),
                _ => None,
            })
        };
        let turned = word("point").unwrap();
        assert!((turned.rotation.to_radians() - 0.3).abs() < 1e-9 && (turned.text_height - 3.5).abs() < 1e-9);
        assert_eq!(turned.horizontal_text_justification, HorizontalTextJustification::Right);
        assert!(word("back é < & >").is_some());
    }

    #[test]
    fn the_same_bytes_come_every_time_and_nothing_is_refused() {
        let word = Drawing { items: vec![label("smithy", DVec2::ONE)] };
        assert!(dxf(&word).unwrap() == dxf(&word).unwrap());
        assert_eq!(dxf(&Drawing::default()), Err(ExportFault::Empty));
    }
}
