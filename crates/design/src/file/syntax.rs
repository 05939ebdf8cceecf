//! What helps where a file is not TOML: told by the line itself, as people who don't know TOML write it.

/// What helps against a syntax error with this message, somewhere in the line that begins or ends at byte `at`.
pub(crate) fn remedy(text: &str, at: usize, message: &str) -> String {
    const RULES: &str = "see the TOML rules: key = value, [table], [[list of tables]], text in quotes";
    let line = line_at(text, at);
    if message.contains("duplicate key") {
        let one_steel = |line: &str| line.trim_start().starts_with("steel") && line.contains('=');
        if line.starts_with("[[steel]]") && text.lines().any(one_steel) {
            return "a blade of one steel has the line `steel` at the top, a billet has [[steel]] tables: take one of them out"
                .to_owned();
        }
        let list = LISTS.iter().find(|name| line.trim_matches(['[', ']']).trim() == **name);
        return list.map_or_else(
            || "give it only once: delete one of the two".to_owned(),
            |name| format!("each one needs its own header in double brackets: [[{name}]]"),
        );
    }
    if let Some(opened) = open_brace(text, at) {
        return format!("line {opened} opens {{ and never closes it: add }}");
    }
    of_line(line).unwrap_or_else(|| RULES.to_owned())
}

/// The tables of which a file may have several.
const LISTS: [&str; 6] = ["taper", "fuller", "bar", "steel", "layers", "fitting"];

/// The number of a line shortly before byte `at` that opens a brace which no line up to there closes.
fn open_brace(text: &str, at: usize) -> Option<usize> {
    // As far back as an inline table that was meant for one line is likely to begin.
    const BACK: usize = 4;
    let before = text.as_bytes().get(..at).unwrap_or(text.as_bytes());
    let here = before.iter().filter(|b| **b == b'\n').count();
    let lines: Vec<&str> = text.lines().take(here + 1).collect();
    let count = |line: &str, brace: char| line.split('#').next().unwrap_or_default().matches(brace).count();
    let opens = |i: &usize| count(lines[*i], '{') > count(lines[*i], '}');
    (here.saturating_sub(BACK)..lines.len()).rev().find(opens).map(|i| i + 1)
}

/// The line that holds byte `at`; the one before it where `at` stands at the start of an empty one or after all.
fn line_at(text: &str, at: usize) -> &str {
    // The byte may lie within a character or past the end.
    let before = text.as_bytes().get(..at).unwrap_or(text.as_bytes());
    let start = before.iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
    let line = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default().trim();
    match line.is_empty() && start > 0 {
        true => line_at(text, start - 1),
        false => line,
    }
}

/// What to write instead of a line that TOML does not read.
fn of_line(line: &str) -> Option<String> {
    // Longer ones were not typed by a hand that needs help.
    const LONGEST: usize = 200;
    if line.is_empty() || line.len() > LONGEST {
        return None;
    }
    if line.contains(['“', '”', '„', '‘', '’']) {
        return Some(format!("use straight quotes: {}", line.replace(['“', '”', '„', '‘', '’'], "\"")));
    }
    if line.starts_with('[') {
        let missing = line.starts_with("[[") && !line.contains("]]") || !line.contains(']');
        return missing.then(|| "close the brackets: [table] or [[list of tables]]".to_owned());
    }
    match line.split_once('=') {
        Some((key, value)) => of_value(key.trim(), value.trim()),
        None => {
            let (key, value) = line.split_once(':')?;
            Some(format!("write = between key and value: {} = {}", key.trim(), value.trim()))
        }
    }
}

/// What a value without quotes, or a number, should have been.
fn of_value(key: &str, value: &str) -> Option<String> {
    let bare = value.split('#').next().unwrap_or_default().trim();
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let number = bare.trim_start_matches(['-', '+']);
    if let Some((whole, part)) = number.split_once(',')
        && digits(whole)
        && digits(part)
    {
        return Some(format!("write a decimal point: {key} = {whole}.{part}"));
    }
    if bare.is_empty() {
        return Some(format!("give {key} a value after the ="));
    }
    match bare.to_ascii_lowercase().as_str() {
        "yes" | "on" | "true" => return Some(format!("write {key} = true")),
        "no" | "off" | "false" => return Some(format!("write {key} = false")),
        _ => {}
    }
    if bare.starts_with(['"', '\'', '[', '{']) {
        return None;
    }
    // An inch mark would end the text: written out, it does not.
    Some(format!("put quotes around it: {key} = \"{}\"", bare.replace(['"', '″'], " in")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn helps(line: &str) -> String {
        let text = format!("name = \"Weir\"\n{line}\n");
        remedy(&text, text.len() - 2, "")
    }

    #[test]
    fn lines_are_mended_as_people_mean_them() {
        for (line, help) in [
            ("back = 3,6", "back = 3.6"),
            ("name = Ferry seax", "name = \"Ferry seax\""),
            ("back = 1/8", "back = \"1/8\""),
            ("back = 3 mm", "back = \"3 mm\""),
            ("breadth = 1 5/8\"", "breadth = \"1 5/8 in\""),
            ("length: 300", "length = 300"),
            ("[outline", "close the brackets"),
            ("[[bar]", "close the brackets"),
            ("tang = no", "tang = false"),
            ("name = “Ferry seax”", "name = \"Ferry seax\""),
            ("back =", "give back a value"),
        ] {
            assert!(helps(line).contains(help), "{line}: {}", helps(line));
        }
    }

    #[test]
    fn what_no_rule_knows_and_any_place_has_a_hint() {
        assert!(helps("name = \"a\" \"b\"").starts_with("see the TOML rules"));
        for text in ["", "\n\n", "é", "=", "a=\"é"] {
            for at in 0..text.len() + 3 {
                assert!(!remedy(text, at, "").is_empty());
            }
        }
        let both = "steel = \"1084\"\n[[steel]]\nname = \"x\"\n";
        assert!(remedy(both, 20, "duplicate key").contains("take one of them out"));
        assert!(remedy("a = 1\na = 2\n", 6, "duplicate key").contains("only once"));
    }
}
