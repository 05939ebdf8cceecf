"""What a design file says of the shop and its gauges, with the defaults that the design format promises. In mm."""

import re
from fractions import Fraction

# Sheets lying on their long side: ISO 216, and 11 by 8.5 in (ANSI/ASME Y14.1; both from memory).
PAPERS = {"a4": (297.0, 210.0), "a3": (420.0, 297.0), "letter": (279.4, 215.9)}

INCH = 25.4

# mm: the least gap of a window around a forged outline.
FORGED_GAP = 1.0


class Shop:
    """The shop of a design (parsed TOML)."""

    def __init__(self, design):
        self.unit = design.get("unit", "mm")
        table = design.get("shop", {})
        gaps = table.get("clearance", {})
        inches = self.unit == "in"
        self.bed = [self.length(size) for size in table["bed"]] if "bed" in table else [220.0, 220.0, 250.0]
        self.margin = self.given(table, "bed_margin", 5.0)
        self.tolerance = self.given(table, "tolerance", 0.02)
        self.nozzle = self.given(table, "nozzle", 0.4)
        self.press = self.given(gaps, "press", 0.1)
        self.sliding = self.given(gaps, "sliding", 0.25)
        forged = design.get("plate", {}).get("stage", "forged") == "forged"
        self.window = max(self.sliding, FORGED_GAP) if forged else self.sliding
        self.paper = PAPERS[table.get("paper", "letter" if inches else "a4")]
        self.stations = self.stations_of(design.get("gauges", {}))
        self.pitch = 2.0 * INCH if inches else 50.0

    def given(self, table, key, otherwise):
        """A length of a table, or its default."""
        return self.length(table[key]) if key in table else otherwise

    def stations_of(self, table):
        """The gauges' stations where the file gives them."""
        return [self.length(at) for at in table["stations"]] if "stations" in table else None

    def length(self, value):
        """A length in the file's unit, or with a unit of its own, as a number or a fraction."""
        number, unit = re.fullmatch(r"\s*([-+0-9./ ]+?)\s*(mm|in)?\s*", str(value)).groups()
        amount = float(sum(Fraction(part) for part in number.split()))
        return amount * (INCH if (unit or self.unit) == "in" else 1.0)


def with_tolerance(text, tolerance):
    """A design file's text with another mesh tolerance (mm)."""
    line = f'tolerance = "{tolerance} mm"'
    changed, count = re.subn(r"(?m)^tolerance = .*$", line, text)
    if count:
        return changed
    return re.sub(r"(?m)^\[shop\]$", f"[shop]\n{line}", text) if "[shop]" in text else f"{text}\n[shop]\n{line}\n"
