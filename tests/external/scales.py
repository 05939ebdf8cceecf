"""Masses and temperatures as a design's pages tell them, by its table of units."""

import tomllib

GRAMS = {"g": 1.0, "oz": 28.349523125, "lb": 453.59237}
# Decimals of a mass of steel to cut, and of one on a kitchen scale.
PLACES = {"g": (0, 1), "oz": (1, 2), "lb": (2, 3)}


class Scales:
    """The scales of the design at a path."""

    def __init__(self, profile):
        units = tomllib.loads(profile.read_text()).get("units", {})
        self.mass = units.get("mass", "g")
        self.fahrenheit = units.get("temperature", "C") == "F"

    def weight(self, grams):
        """A mass of steel to cut or of a blade."""
        return f"{grams / GRAMS[self.mass]:.{PLACES[self.mass][0]}f} {self.mass}"

    def plain(self, celsius):
        """A temperature's figure."""
        return f"{celsius * 1.8 + 32.0 if self.fahrenheit else celsius:.0f}"

    def degrees(self, celsius):
        """A temperature with its sign."""
        return f"{self.plain(celsius)} {'°F' if self.fahrenheit else '°C'}"

    def about(self, celsius):
        """A temperature known to some degrees only."""
        return f"{self.band([celsius])} {'°F' if self.fahrenheit else '°C'}"

    def band(self, celsius):
        """A band of temperatures: in °F to 5 degrees."""
        step = 5.0 if self.fahrenheit else 1.0
        ends = [t * 1.8 + 32.0 if self.fahrenheit else t for t in celsius]
        return "–".join(f"{step * int(t / step + 0.5):.0f}" for t in ends)
