//! STEP AP242 (ISO 10303-242) in a Part 21 file: products, units, names, colour.

use glam::DVec3;
use solid::Solid;

use crate::fault::ExportFault;
use crate::paint::Paint;
use crate::step::body;
use crate::step::part21::{Id, Part21, list, real, string};

/// A named body.
#[derive(Clone, Copy, Debug)]
pub struct StepBody<'a> {
    /// The body's name, and that of its solids; of several, each has its number behind it.
    pub name: &'a str,
    /// The boundaries of its pieces, mm: mostly one.
    pub solids: &'a [&'a Solid],
    /// Its colour; [`Paint::STEEL`] where there is none.
    pub paint: Option<Paint<'a>>,
}

/// The schema of AP242's second edition, the one that current CAD programs read.
const SCHEMA: &str = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 1 1 4 }";

/// The time every file bears: the same model must give the same bytes, so no clock is read.
const TIME: &str = "2026-01-01T00:00:00";

/// How closely edges and faces meet, mm: what the kernel holds the solid to.
const UNCERTAINTY: f64 = 1e-6;

/// The file of the named bodies, mm and radians. A single body's product bears the name `product`; of
/// several, each is a product under its own name, `product` before it in the identifier.
///
/// # Errors
/// [`ExportFault::Empty`] without bodies or for a body without solids, [`ExportFault::NotFinite`] on a number
/// that Part 21 cannot write, [`ExportFault::Colour`] for a colour that is none, [`ExportFault::Name`] for a
/// control character in a colour's name.
pub fn step(product: &str, bodies: &[StepBody<'_>]) -> Result<Vec<u8>, ExportFault> {
    if bodies.is_empty() || bodies.iter().any(|body| body.solids.is_empty()) {
        return Err(ExportFault::Empty);
    }
    let mut file = Part21::new(&header(product));
    let frame = frame(&mut file)?;
    for body in bodies {
        let style = style(&mut file, body.paint.unwrap_or(Paint::STEEL))?;
        let (id, name) = match bodies {
            [_] => (product.to_owned(), product),
            _ => (format!("{product}/{}", body.name), body.name),
        };
        let shape = product_shape(&mut file, &frame, &id, name);
        represent(&mut file, frame.geometry, shape, style, body)?;
    }
    Ok(file.finish())
}

/// The header section's entities.
fn header(product: &str) -> String {
    let name = string(&format!("{product}.step"));
    format!(
        "FILE_DESCRIPTION(('3D model'),'2;1');\n\
         FILE_NAME({name},'{TIME}',(''),(''),'Seaxwright','Seaxwright','');\n\
         FILE_SCHEMA(('{SCHEMA}'));\n"
    )
}

/// What all bodies of a file share.
struct Frame {
    /// For products.
    product: Id,
    /// For their definitions.
    definition: Id,
    /// Units and uncertainty.
    geometry: Id,
}

/// Writes what all bodies share.
fn frame(file: &mut Part21) -> Result<Frame, ExportFault> {
    let context = file.add("APPLICATION_CONTEXT('managed model based 3d engineering')");
    file.add(format!(
        "APPLICATION_PROTOCOL_DEFINITION('international standard',\
         'ap242_managed_model_based_3d_engineering',2014,{context})"
    ));
    Ok(Frame {
        product: file.add(format!("PRODUCT_CONTEXT('',{context},'mechanical')")),
        definition: file.add(format!("PRODUCT_DEFINITION_CONTEXT('part definition',{context},'design')")),
        geometry: geometry(file)?,
    })
}

/// Millimetres, radians, steradians and the uncertainty.
fn geometry(file: &mut Part21) -> Result<Id, ExportFault> {
    let length = file.add("( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) )");
    let angle = file.add("( NAMED_UNIT(*) PLANE_ANGLE_UNIT() SI_UNIT($,.RADIAN.) )");
    let solid_angle = file.add("( NAMED_UNIT(*) SI_UNIT($,.STERADIAN.) SOLID_ANGLE_UNIT() )");
    let uncertainty = file.add(format!(
        "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({}),{length},'distance_accuracy_value','confusion accuracy')",
        real(UNCERTAINTY, "uncertainty")?
    ));
    Ok(file.add(format!(
        "( GEOMETRIC_REPRESENTATION_CONTEXT(3) GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({uncertainty})) \
         GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{angle},{solid_angle})) REPRESENTATION_CONTEXT('','3D') )"
    )))
}

/// The look of a paint.
fn style(file: &mut Part21, paint: Paint<'_>) -> Result<Id, ExportFault> {
    paint.sound()?;
    let [red, green, blue] = paint.srgb;
    let rgb = [real(red, "red")?, real(green, "green")?, real(blue, "blue")?].join(",");
    let colour = file.add(format!("COLOUR_RGB({},{rgb})", string(paint.name)));
    let fill = file.add(format!("FILL_AREA_STYLE_COLOUR('',{colour})"));
    let area = file.add(format!("FILL_AREA_STYLE('',({fill}))"));
    let surface = file.add(format!("SURFACE_STYLE_FILL_AREA({area})"));
    let side = file.add(format!("SURFACE_SIDE_STYLE('',({surface}))"));
    let usage = file.add(format!("SURFACE_STYLE_USAGE(.BOTH.,{side})"));
    Ok(file.add(format!("PRESENTATION_STYLE_ASSIGNMENT(({usage}))")))
}

/// A product and its definition's shape.
fn product_shape(file: &mut Part21, frame: &Frame, id: &str, name: &str) -> Id {
    let product = file.add(format!("PRODUCT({},{},'',({}))", string(id), string(name), frame.product));
    file.add(format!("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,({product}))"));
    let formation = file.add(format!("PRODUCT_DEFINITION_FORMATION('','',{product})"));
    let definition = file.add(format!("PRODUCT_DEFINITION('design','',{formation},{})", frame.definition));
    file.add(format!("PRODUCT_DEFINITION_SHAPE('','',{definition})"))
}

/// The body as the representation of `shape`, each of its solids in the style.
fn represent(
    file: &mut Part21,
    geometry: Id,
    shape: Id,
    style: Id,
    body: &StepBody<'_>,
) -> Result<(), ExportFault> {
    let breps = breps(file, body)?;
    let axes = body::placement(file, DVec3::ZERO, DVec3::Z, DVec3::X)?;
    let (name, items) = (string(body.name), list([axes].into_iter().chain(breps.iter().copied())));
    let representation = file.add(format!("ADVANCED_BREP_SHAPE_REPRESENTATION({name},{items},{geometry})"));
    file.add(format!("SHAPE_DEFINITION_REPRESENTATION({shape},{representation})"));
    let styled: Vec<_> =
        breps.iter().map(|brep| file.add(format!("STYLED_ITEM('color',({style}),{brep})"))).collect();
    let styled = list(styled);
    file.add(format!("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',{styled},{geometry})"));
    Ok(())
}

/// The body's solids, in order.
fn breps(file: &mut Part21, body: &StepBody<'_>) -> Result<Vec<Id>, ExportFault> {
    let name = |i: usize| match body.solids {
        [_] => body.name.to_owned(),
        _ => format!("{} {i}", body.name),
    };
    let brep = |(i, solid): (usize, &&Solid)| {
        let shell = body::shell(file, solid)?;
        Ok(file.add(format!("MANIFOLD_SOLID_BREP({},{shell})", string(&name(i)))))
    };
    (1..).zip(body.solids).map(brep).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn sample() -> String {
        text_of(&crate::fixtures::holed_box())
    }

    fn text_of(shell: &brep::Shell) -> String {
        let solid = solid::solid(shell).unwrap();
        let body = StepBody { name: "blade", solids: &[&solid], paint: None };
        let bytes = step("Smith's seax é", &[body]).unwrap();
        String::from_utf8(bytes).unwrap()
    }

    /// The numbers behind each `#` of `text`.
    fn references(text: &str) -> Vec<u64> {
        let ends = |s: &str| s.find(|c: char| !c.is_ascii_digit()).unwrap_or(s.len());
        text.split('#').skip(1).map(|s| s[..ends(s)].parse().unwrap()).collect()
    }

    #[test]
    fn the_header_is_fixed_and_named() {
        let want = "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('3D model'),'2;1');\n\
            FILE_NAME('Smith''s seax \\X2\\00E9\\X0\\.step','2026-01-01T00:00:00',(''),(''),\
            'Seaxwright','Seaxwright','');\nFILE_SCHEMA(('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF \
            { 1 0 10303 442 1 1 4 }'));\nENDSEC;\nDATA;\n";
        assert!(sample().starts_with(want));
        assert!(sample().ends_with(";\nENDSEC;\nEND-ISO-10303-21;\n"));
    }

    #[test]
    fn ids_are_unique_and_every_reference_resolves() {
        resolves(&sample());
        resolves(&text_of(&crate::fixtures::pointed_blade()));
    }

    fn resolves(text: &str) {
        let data = text.split("DATA;\n").nth(1).unwrap().split("ENDSEC;").next().unwrap();
        let mut known = BTreeSet::new();
        for line in data.lines() {
            let (id, record) = line.split_once('=').unwrap();
            let id = references(id)[0];
            references(record).iter().for_each(|r| assert!(known.contains(r), "{line}"));
            assert!(known.insert(id), "#{id} twice");
        }
    }

    #[test]
    fn faces_are_named_and_a_holed_one_has_two_bounds() {
        let text = sample();
        for (what, count) in [
            ("=ADVANCED_FACE(", 10),
            ("=FACE_OUTER_BOUND(", 10),
            ("=FACE_BOUND(", 2),
            ("=PLANE(", 6),
            ("=CYLINDRICAL_SURFACE(", 4),
            ("=ADVANCED_FACE('hole 2',", 1),
            ("RATIONAL_B_SPLINE_CURVE((1.,0.7071067811865476,1.))", 8),
            ("=EDGE_CURVE(", 24),
            ("=ORIENTED_EDGE(", 48),
            ("=MANIFOLD_SOLID_BREP('blade',", 1),
        ] {
            assert_eq!(text.matches(what).count(), count, "{what}");
        }
    }

    #[test]
    fn a_blades_strips_are_plain_where_ruled_and_rational_where_round() {
        let shell = crate::fixtures::pointed_blade();
        let text = text_of(&shell);
        let count =
            |want: fn(&brep::Surface) -> bool| shell.faces.iter().filter(|f| want(&f.surface)).count();
        let ruled = count(|s| matches!(s, brep::Surface::Ruled { .. }));
        let round = count(|s| matches!(s, brep::Surface::Round { .. }));
        assert_eq!(text.matches("=B_SPLINE_SURFACE_WITH_KNOTS('',3,1,").count(), ruled);
        assert_eq!(text.matches("=( BOUNDED_SURFACE() B_SPLINE_SURFACE(3,2,").count(), round);
        assert!(ruled > 0 && round > 0 && text.contains(",(4,"));
    }

    #[test]
    fn the_same_solid_gives_the_same_bytes() {
        assert_eq!(sample(), sample());
    }

    #[test]
    fn each_body_is_a_product_in_its_own_colour() {
        let solid = solid::solid(&crate::fixtures::holed_box()).unwrap();
        let blue = Some(Paint { name: "smith's blue", srgb: [0.2, 0.4, 1.0] });
        let edge = StepBody { name: "edge", solids: &[&solid], paint: blue };
        let back = StepBody { name: "back", solids: &[&solid, &solid], paint: None };
        let text = String::from_utf8(step("stack", &[edge, back]).unwrap()).unwrap();
        resolves(&text);
        for (what, count) in [
            ("=PRODUCT('stack/edge','edge',", 1),
            ("=PRODUCT('stack/back','back',", 1),
            ("=COLOUR_RGB('smith''s blue',0.2,0.4,1.)", 1),
            ("=COLOUR_RGB('steel',0.7,0.72,0.75)", 1),
            ("=MANIFOLD_SOLID_BREP('edge',", 1),
            ("=MANIFOLD_SOLID_BREP('back 1',", 1),
            ("=MANIFOLD_SOLID_BREP('back 2',", 1),
            ("=STYLED_ITEM(", 3),
            ("=ADVANCED_BREP_SHAPE_REPRESENTATION(", 2),
        ] {
            assert_eq!(text.matches(what).count(), count, "{what}");
        }
    }

    #[test]
    fn no_bodies_no_solids_and_no_colours_are_refused() {
        assert_eq!(step("none", &[]), Err(ExportFault::Empty));
        let hollow = StepBody { name: "hollow", solids: &[], paint: None };
        assert_eq!(step("none", &[hollow]), Err(ExportFault::Empty));
        let solid = solid::solid(&crate::fixtures::holed_box()).unwrap();
        let paint = Some(Paint { name: "dark", srgb: [-1.0, 0.0, 0.0] });
        let dark = StepBody { name: "box", solids: &[&solid], paint };
        assert_eq!(step("none", &[dark]), Err(ExportFault::Colour { name: "dark".to_owned() }));
    }
}
