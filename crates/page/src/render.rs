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

/// The templates by their names.
const TEMPLATES: [(&str, &str); 4] = [
    ("index.html", include_str!("assets/index.html")),
    ("show.html", include_str!("assets/show.html")),
    ("blocks.html", include_str!("assets/blocks.html")),
    ("turn.html", include_str!("assets/turn.html")),
];

/// A page by its template.
pub(crate) fn render(template: &str, page: &impl Serialize) -> Result<String, PageFault> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.set_syntax(SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build()?);
    for (name, text) in TEMPLATES {
        environment.add_template(name, text)?;
    }
    let values = context! { page => Serde(page), policy => policy(), style => STYLE, script => SCRIPT };
    Ok(environment.get_template(template)?.render(values)? + "\n")
}

/// The page's content security policy (CSP level 3): nothing is fetched, nothing sent, and only the style and the
/// script that stand in the page by their hash are used; pictures are those in the page.
fn policy() -> String {
    format!(
        "default-src 'none'; script-src '{}'; style-src '{}'; img-src data: blob:; base-uri 'none'; form-action 'none'",
        hash(SCRIPT),
        hash(STYLE)
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
