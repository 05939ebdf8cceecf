//! What helps where a file is not TOML: told by the line itself, as people who don't know TOML write it.

/// What a parser's message says of the commonest mistakes, in a smith's words: a part of the message, and the words.
const CAUSES: [(&str, &str); 20] = [
    ("duplicate key", "this is given twice"),
    ("must be quoted", "text without quotes"),
    ("invalid basic", "the quotes are not closed"),
    ("invalid literal", "the quotes are not closed"),
    ("key with no value", "there is no = between key and value"),
    ("missing value for key", "there is no value after this key"),
    ("extra `=`", "one = too many"),
    ("unclosed", "a bracket is not closed"),
    ("missing comma", "a comma is missing"),
    ("extra assignment", "a comma is missing"),
    ("keys cannot be empty", "there is no key before the ="),
    ("extra comma", "one comma too many"),
    ("inline table", "a brace or a comma is missing"),
    ("in array", "a list takes values with commas between them"),
    ("mantissa", "a digit is missing before the decimal point"),
    ("fraction", "a digit is missing after the decimal point"),
    ("leading zero", "a number does not begin with 0"),
    ("unexpected key or value", "one line holds more than one value"),
    ("invalid table header", "this header can't be read"),
    ("missing opening quote", "the first of two quotes is missing"),
];

/// What is wrong where a parser stopped at byte `at` with this message: in a smith's words where it is one of the commonest
/// mistakes, else that the line can't be read, with the parser's own words behind it.
pub(crate) fn cause(text: &str, at: usize, message: &str) -> String {
    if open_brace(text, at).is_some() {
        return "a brace is not closed".to_owned();
    }
    if line_at(text, at).ends_with('=') {
        return "there is no value after the =".to_owned();
    }
    let listed = line_at(text, at).split_once('=').is_some_and(|(_, value)| value.trim().starts_with('['));
    if listed && message.contains("must be quoted") {
        return "a comma or quotes are missing in this list".to_owned();
    }
    let known = CAUSES.iter().find(|(part, _)| message.contains(part));
    known.map_or_else(
        || format!("this line can't be read: {}", message.replace('\n', ", ")),
        |known| known.1.to_owned(),
    )
}

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
            |name| double_brackets(text, name),
        );
    }
    if message.contains("mantissa") || message.contains("fraction") {
        let number = number_at(text, at);
        if let Some(full) = full_number(number) {
            return format!("write {full} instead of {number}");
        }
    }
    if let Some(opened) = open_brace(text, at) {
        return format!("line {opened} opens {{ and never closes it: add }}");
    }
    if message.contains("missing comma") || message.contains("extra assignment") {
        return "put a comma between them, as in { turns = 1, per = 25 } and [1, 2]".to_owned();
    }
    of_line(line).unwrap_or_else(|| RULES.to_owned())
}

/// The tables of which a file may have several.
const LISTS: [&str; 6] = ["taper", "fuller", "bar", "steel", "layers", "fitting"];

/// What helps where several tables of a name are not all in double brackets.
fn double_brackets(text: &str, name: &str) -> String {
    let single = |line: &str| {
        line.trim_start().strip_prefix('[').is_some_and(|rest| rest.trim_start().starts_with(name))
    };
    match text.lines().position(single) {
        Some(i) => format!("line {} has it in single brackets: write [[{name}]] there too", i + 1),
        None => format!("each one needs its own header in double brackets: [[{name}]]"),
    }
}

/// The number, sign and all, that byte `at` touches; empty where there is none.
fn number_at(text: &str, at: usize) -> &str {
    let part = |b: &u8| b.is_ascii_digit() || b"+-.".contains(b);
    let bytes = text.as_bytes();
    let at = at.min(bytes.len());
    let start = at - bytes[..at].iter().rev().take_while(|b| part(b)).count();
    let end = at + bytes[at..].iter().take_while(|b| part(b)).count();
    text.get(start..end).unwrap_or_default()
}

/// A number with the digit before or after its point that TOML asks for; `None` of any other text.
fn full_number(number: &str) -> Option<String> {
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    let (sign, plain) =
        number.strip_prefix('-').map_or(("", number.trim_start_matches('+')), |rest| ("-", rest));
    let (whole, part) = plain.split_once('.')?;
    let full = |text: &str| if text.is_empty() { "0" } else { text }.to_owned();
    let lacks_one = whole.is_empty() != part.is_empty() && digits(whole) && digits(part);
    lacks_one.then(|| format!("{sign}{}.{}", full(whole), full(part)))
}

/// A list on one line with each of its words in quotes; `None` where its words can't be told apart.
fn quoted_list(value: &str) -> Option<String> {
    let words = value.strip_prefix('[')?.strip_suffix(']')?.split(',').map(str::trim);
    let bare: Vec<&str> = words.map(|word| word.trim_matches(['"', '\''])).collect();
    let fits = |word: &&str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-');
    bare.iter().all(fits).then(|| format!("[\"{}\"]", bare.join("\", \"")))
}

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
    if let Some(comment) = line.strip_prefix("//").or_else(|| line.strip_prefix(';')) {
        return Some(format!("a comment begins with #: # {}", comment.trim()));
    }
    if line.starts_with('[') {
        let missing = line.starts_with("[[") && !line.contains("]]") || !line.contains(']');
        return missing.then(|| "close the brackets: [table] or [[list of tables]]".to_owned());
    }
    match line.split_once('=') {
        Some((key, value)) => of_value(key.trim(), value.trim()),
        None => {
            let (key, value) = line.split_once(':').or_else(|| line.split_once(char::is_whitespace))?;
            Some(format!("write = between key and value: {} = {}", key.trim(), value.trim()))
        }
    }
}

/// What a value without quotes, or a number, should have been.
fn of_value(key: &str, value: &str) -> Option<String> {
    let bare = value.split('#').next().unwrap_or_default().trim();
    if let Some((before, comment)) = bare.split_once("//").filter(|(before, _)| !before.contains(['"', '\'']))
    {
        return Some(format!("a comment begins with #: {key} = {} # {}", before.trim(), comment.trim()));
    }
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
    let quotes = bare.matches('"').count();
    if bare.starts_with('"') && quotes == 1 && !bare.contains(['\'', '\\']) {
        return Some(format!("close the quotes: {key} = {bare}\""));
    }
    if bare.starts_with('[') {
        return quoted_list(bare).map(|list| format!("put quotes around each word: {key} = {list}"));
    }
    if bare.starts_with(['"', '\'', '{']) {
        return None;
    }
    if let Some(full) = full_number(bare) {
        return Some(format!("write {key} = {full}"));
    }
    // An inch mark would end the text: written out, it does not. A fraction alone is none of a unit.
    let is_fraction = bare.contains('/') && bare.bytes().all(|b| b.is_ascii_digit() || b" /-".contains(&b));
    let unit = if is_fraction { " in" } else { "" };
    Some(format!("put quotes around it: {key} = \"{}{unit}\"", bare.replace(['"', '″'], " in")))
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
            ("back = 1/8", "back = \"1/8 in\""),
            ("back = 3 mm", "back = \"3 mm\""),
            ("breadth = 1 5/8\"", "breadth = \"1 5/8 in\""),
            ("length: 300", "length = 300"),
            ("[outline", "close the brackets"),
            ("[[bar]", "close the brackets"),
            ("tang = no", "tang = false"),
            ("name = “Ferry seax”", "name = \"Ferry seax\""),
            ("back =", "give back a value"),
            ("back = .6", "write back = 0.6"),
            ("at = -5.", "write at = -5.0"),
            ("name = \"Weir", "close the quotes: name = \"Weir\""),
            ("length 300", "length = 300"),
            ("// for the ferry", "a comment begins with #: # for the ferry"),
            ("; for the ferry", "a comment begins with #: # for the ferry"),
            ("length = 300 // long", "a comment begins with #: length = 300 # long"),
            ("steels = [C75S, 75Ni8]", "steels = [\"C75S\", \"75Ni8\"]"),
            ("steels = [1084, 15N20]", "steels = [\"1084\", \"15N20\"]"),
            ("steels = [\"1084\", 15N20]", "steels = [\"1084\", \"15N20\"]"),
        ] {
            assert!(helps(line).contains(help), "{line}: {}", helps(line));
        }
    }

    /// No message of the parser itself is shown for what people get wrong most; what is left says that it can't be read.
    #[test]
    fn causes_are_in_a_smiths_words() {
        for (line, says) in [
            ("name = Ferry seax", "text without quotes"),
            ("back = 3 mm", "text without quotes"),
            ("name = \"Weir", "the quotes are not closed"),
            ("name = 'Weir", "the quotes are not closed"),
            ("length 300", "no = between"),
            ("length =", "no value after"),
            ("a = = 3", "one = too many"),
            ("[outline", "a bracket is not closed"),
            ("[[bar]", "a bracket is not closed"),
            ("a = [1, 2", "a bracket is not closed"),
            ("a = { b = 1 c = 2 }", "a comma is missing"),
            ("a = { b = 1", "a brace is not closed"),
            ("a = .6", "a digit is missing before"),
            ("a = 6.", "a digit is missing after"),
            ("a = 06", "does not begin with 0"),
            ("a = 3,6", "more than one value"),
            ("a = 1\na = 2", "given twice"),
            ("a = [1 2]", "a comma or quotes are missing"),
            ("a = [1,, 2]", "one comma too many"),
            ("= 3", "no key before"),
            ("]", "can't be read"),
        ] {
            let text = format!("{line}\n");
            let fault = toml::de::DeTable::parse(&text).expect_err(line);
            let told = cause(&text, fault.span().map_or(0, |span| span.start), fault.message());
            assert!(told.contains(says), "{line}: {told} ({})", fault.message());
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
        let single = "[outline]\n[taper]\nat = 0\n[[taper]]\nat = 1\n";
        assert!(remedy(single, 29, "duplicate key").contains("line 2 has it in single brackets"));
    }

    #[test]
    fn numbers_within_a_table_are_mended_too() {
        for (number, full) in [(".8", "0.8"), ("-.8", "-0.8"), ("8.", "8.0"), ("+.5", "0.5")] {
            let text = format!("tip = {{ form = \"flat\", breadth = {number} }}\n");
            let fault = toml::de::DeTable::parse(&text).expect_err(number);
            let told = remedy(&text, fault.span().map_or(0, |span| span.start), fault.message());
            assert_eq!(told, format!("write {full} instead of {number}"));
        }
        for number in ["", ".", "-", "8", "8.5", "1.2.3", "é."] {
            assert_eq!(full_number(number), None, "{number}");
        }
    }
}
