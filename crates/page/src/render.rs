//! The templates filled in, and the policy that lets the page run its own script and no other.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, context};
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::fault::PageFault;

const STYLE: &str = include_str!("assets/page.css");
const SCRIPT: &str = include_str!("assets/turn.js");

/// Of the served page's live part.
const LIVE_STYLE: &str = include_str!("assets/live.css");
/// See [`LIVE_STYLE`]: parts of one script, each of a subject.
const LIVE_SCRIPT: &str = concat!(
    "(() => {\n'use strict';\n",
    include_str!("assets/live/line.js"),
    include_str!("assets/live/pad.js"),
    include_str!("assets/live/answer.js"),
    include_str!("assets/live/steps.js"),
    include_str!("assets/live/timers.js"),
    include_str!("assets/live/begin.js"),
    "})();\n"
);

/// Where a page stands, and so what its script may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// A file: nothing is fetched, nothing sent.
    File,
    /// Served: it speaks with the server that it came from, and shows its pictures.
    Served,
}

/// The templates by their names.
const TEMPLATES: [(&str, &str); 5] = [
    ("index.html", include_str!("assets/index.html")),
    ("show.html", include_str!("assets/show.html")),
    ("live.html", include_str!("assets/live.html")),
    ("blocks.html", include_str!("assets/blocks.html")),
    ("turn.html", include_str!("assets/turn.html")),
];

/// A page by its template.
pub(crate) fn render(template: &str, page: &impl Serialize, place: Place) -> Result<String, PageFault> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.set_syntax(SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build()?);
    for (name, text) in TEMPLATES {
        environment.add_template(name, text)?;
    }
    let values = context! {
        page => Serde(page), policy => policy(place), style => STYLE, script => SCRIPT,
        live_style => LIVE_STYLE, live_script => LIVE_SCRIPT
    };
    Ok(environment.get_template(template)?.render(values)? + "\n")
}

/// The page's content security policy (CSP level 3): only styles and scripts that stand in the page by their hash are
/// used, and pictures in it; nothing is fetched, nothing sent but to the server that a served page came from.
fn policy(place: Place) -> String {
    let hashes = |texts: &[&str]| texts.iter().map(|text| format!(" '{}'", hash(text))).collect::<String>();
    let (scripts, styles, own) = match place {
        Place::File => (hashes(&[SCRIPT]), hashes(&[STYLE]), ""),
        Place::Served => (hashes(&[SCRIPT, LIVE_SCRIPT]), hashes(&[STYLE, LIVE_STYLE]), " 'self'"),
    };
    let connect = if own.is_empty() { "" } else { " connect-src 'self';" };
    format!(
        "default-src 'none'; script-src{scripts}; style-src{styles}; img-src{own} data: blob:;{connect} base-uri 'none'; \
         form-action 'none'"
    )
}

/// A text's hash as a policy names it: SHA-256 in base64.
fn hash(text: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(text.as_bytes())))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The hash of nothing, as in CSP's own examples and every table of SHA-256 values (FIPS 180-4, from memory).
    #[test]
    fn hashes_are_those_of_browsers() {
        assert_eq!(hash(""), "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
    }
}
