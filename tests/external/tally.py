"""Counts checks that pass and fail, and says which failed."""

import math


class Tally:
    """The checks of one run."""

    def __init__(self):
        self.passed = 0
        self.failed = 0

    def check(self, holds, what):
        """Counts one check; a failing one is printed."""
        if holds:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED: {what}")

    def near(self, found, wanted, within, what):
        """Counts one comparison of numbers."""
        close = math.isfinite(found) and abs(found - wanted) <= within
        self.check(close, f"{what}: found {found!r}, wanted {wanted!r} within {within:g}")

    def add(self, other):
        """Takes over another tally's counts."""
        self.passed += other.passed
        self.failed += other.failed

    def closing_line(self):
        """What the test runner reads."""
        return f"checks: {self.passed} passed, {self.failed} failed"
