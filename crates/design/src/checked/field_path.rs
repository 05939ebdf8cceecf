//! From a blade's measures to their keys in the design file.

use blade::{Field, OutlineLine};

/// Where the file gives a measure of the blade.
pub(crate) fn field_path(field: Field) -> String {
    let line = |line: OutlineLine| match line {
        OutlineLine::Back => "outline.back",
        OutlineLine::Edge => "outline.edge",
    };
    let fixed = match field {
        Field::OutlinePoint(of, i) => return format!("{}[{i}]", line(of)),
        Field::TaperAt(i) => return format!("taper[{i}].at"),
        Field::TaperBack(i) => return format!("taper[{i}].back"),
        Field::TaperGrind(i) => return format!("taper[{i}].grind"),
        Field::FullerStart(i) => return format!("fuller[{i}].start"),
        Field::FullerEnd(i) => return format!("fuller[{i}].end"),
        Field::FullerDepth(i) => return format!("fuller[{i}].depth"),
        Field::FullerFromBack(i) => return format!("fuller[{i}].from_back"),
        Field::Hole(i) => return format!("tang.hole[{i}]"),
        Field::Stage(stage) => return format!("stages.{stage}"),
        Field::Outline => "outline",
        Field::OutlineLine(of) => line(of),
        Field::Sweep => "outline.sweep",
        Field::PointHeight => "outline.point_height",
        Field::BreakAt => "outline.break_at",
        Field::BreakBreadth => "outline.break_breadth",
        Field::BroadestAt => "outline.broadest_at",
        Field::Broadest => "outline.broadest",
        Field::Drop => "outline.drop",
        Field::Tip => "outline.tip",
        Field::Taper => "taper",
        Field::Section => "section",
        Field::BackForm => "section.back",
        Field::GrindLine => "section.grind_line",
        Field::BevelRadius => "section.radius",
        Field::Ricasso => "ricasso",
        Field::TangForm => "tang.form",
        Field::TangBreadth => "tang.breadth",
        Field::TangThickness => "tang.thickness",
        Field::ShoulderRadius => "tang.shoulder_radius",
        Field::Stages => "stages",
        Field::ForgedOutline => "stages.forged.outline",
    };
    fixed.to_owned()
}
