//! A temperature as the command line gives it: on the design's scale, or with its own sign.

use design::Temperature;

/// Degrees in which steel is forged, °C, for which its lengthening is known: the range of [`steel::elongation`].
const KNOWN: [f64; 2] = [20.0, 1200.0];

/// A temperature that was asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AskedHeat {
    degrees: f64,
    /// Its own scale, where it is written with one.
    scale: Option<Temperature>,
}

impl AskedHeat {
    /// Reads `700`, `700 C`, `1300F` or `1300 °F`.
    pub(crate) fn from_words(text: &str) -> Result<AskedHeat, String> {
        let text = text.trim();
        let sign = |sign: char| text.strip_suffix([sign, sign.to_ascii_lowercase()]);
        let (number, scale) = match (sign('C'), sign('F')) {
            (Some(number), _) => (number, Some(Temperature::Celsius)),
            (None, Some(number)) => (number, Some(Temperature::Fahrenheit)),
            (None, None) => (text, None),
        };
        let degrees = number.trim_end().trim_end_matches('°').trim_end().parse::<f64>().ok();
        let degrees = degrees.filter(|degrees| degrees.is_finite());
        let degrees = degrees.ok_or("give degrees as a number, such as 700, or with a sign: 700C, 1300F")?;
        Ok(AskedHeat { degrees, scale })
    }

    /// In °C, where a number without a sign is on the scale `usual`.
    ///
    /// # Errors
    /// What would be accepted, for a temperature outside 20 to 1200 °C.
    pub(crate) fn celsius(self, usual: Temperature) -> Result<f64, String> {
        let scale = self.scale.unwrap_or(usual);
        let [low, high] = KNOWN.map(|celsius| scale.degrees(celsius));
        let celsius = match scale {
            Temperature::Celsius => self.degrees,
            Temperature::Fahrenheit => (self.degrees - 32.0) / 1.8,
        };
        match steel::elongation(celsius) {
            Some(_) => Ok(celsius),
            None => Err(format!("give a temperature from {low:.0} to {high:.0} {}", scale.name())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn degrees_are_on_the_designs_scale_unless_they_say() {
        let read = |text: &str, usual| AskedHeat::from_words(text).and_then(|heat| heat.celsius(usual));
        let near = |found: Result<f64, String>, wanted: f64| (found.unwrap() - wanted).abs() < 1e-9;
        let (celsius, fahrenheit) = (Temperature::Celsius, Temperature::Fahrenheit);
        assert!(near(read("700", celsius), 700.0) && near(read("1292", fahrenheit), 700.0));
        assert!(near(read("700 °C", fahrenheit), 700.0) && near(read("1292f", celsius), 700.0));
        assert!(near(read("20", celsius), 20.0) && near(read("2192 F", celsius), 1200.0));
        assert_eq!(read("1300", celsius).unwrap_err(), "give a temperature from 20 to 1200 °C");
        assert_eq!(read("10", fahrenheit).unwrap_err(), "give a temperature from 68 to 2192 °F");
        assert!(
            read("hot", celsius).is_err() && read("nan", celsius).is_err() && read("infF", celsius).is_err()
        );
    }
}
