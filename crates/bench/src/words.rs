//! What the laptop's terminal is told.

use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;

/// Who reaches the bench, what is written, and how to close it.
pub(crate) fn opened(name: &str, at: &str, files: [&str; 2], keyed: bool) -> String {
    let [measured, log] = files;
    let who = match keyed {
        true => format!(
            "The bench of {name} is open to the network, at http://{at}/.\n\
             Whoever has the code below can look at this design with all its files, write readings and tick steps. Nobody \
             else is let in.\n\
             What goes between phone and laptop is not encrypted: do this only in a network that is yours.\n\
             A code lets one phone in and then a new one is shown here; a phone that is in stays in until the bench is \
             closed."
        ),
        false => {
            format!("The bench of {name} is at http://{at}/, for this machine alone. --lan lets phones in.")
        }
    };
    format!(
        "{who}\nReadings go into {measured}, steps and what is taken back into {log}. Ctrl+C closes it.\n"
    )
}

/// The code for the next phone, with the border that readers want: on a terminal black on white whatever its own colours
/// are, elsewhere as for bright letters on a dark ground.
pub(crate) fn code(address: &str, terminal: bool) -> String {
    let Ok(code) = QrCode::new(address) else { return format!("For the next phone: {address}\n") };
    let mut drawing = code.render::<Dense1x2>();
    if !terminal {
        drawing.dark_color(Dense1x2::Light).light_color(Dense1x2::Dark);
    }
    let drawn = drawing.build();
    // SGR codes of ECMA-48: black on bright white, then as before.
    let lines = drawn
        .lines()
        .map(|line| if terminal { format!("\u{1b}[30;107m{line}\u{1b}[0m") } else { line.to_owned() });
    format!("\nFor the next phone:\n{}\n{address}\n", lines.collect::<Vec<_>>().join("\n"))
}

/// That it is closed.
pub(crate) fn closed(measured: &str) -> String {
    format!("The bench is closed. What was read is in {measured}.\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_code_is_as_wide_as_a_terminal_takes() {
        let address = "http://192.168.178.123:8470/?key=0123456789abcdef0123456789abcdef";
        let text = code(address, false);
        let widest = text.lines().map(|line| line.chars().count()).max().unwrap();
        assert!((30..80).contains(&widest), "{widest}");
        assert!(text.contains('█') && text.contains("?key=0123") && !text.contains('\u{1b}'));
        let coloured = code(address, true);
        assert_eq!(coloured.matches("\u{1b}[30;107m").count(), coloured.matches("\u{1b}[0m").count());
        assert_eq!(coloured.lines().count(), text.lines().count());
    }

    #[test]
    fn what_lan_opens_is_said_in_words() {
        let lan = opened("Oar", "192.168.1.5:8470", ["a.csv", "a.log"], true);
        for word in ["open to the network", "not encrypted", "one phone", "a.csv", "a.log", "Ctrl+C"] {
            assert!(lan.contains(word), "{word}");
        }
        let here = opened("Oar", "127.0.0.1:8470", ["a.csv", "a.log"], false);
        assert!(here.contains("for this machine alone") && !here.contains("network"));
    }
}
