"""Races our picture of a side against the same map in NumPy.

Usage: layers_race.py RACE_PROGRAM DESIGN

Both sides make a picture of the right side: NumPy finds the layer at every sample, our side the mean of every pixel along
its lines. Our side starts from the design's rails and cuts its sections; NumPy is given all sections, the angles of the
bars and the rows, in memory, before its clock starts. Prints times, the ratio, and how far our picture with one line in
every column is from the mean of many samples up that line.
"""

import json
import statistics
import subprocess
import sys
import time

import numpy as np

# An odd number, so that the median is one of the runs.
RUNS = 3

# How many times faster our side must be.
WANTED = 30

# Samples up a pixel whose mean ours is held against.
MANY = 64

# How far the bright steel's share of a pixel may be off as a root mean square: a sample a border, and what eight bits round;
# and in how many pixels it may be off by a tenth, where twisted layers turn about the bar's corners.
APART, TENTH = 0.01, 1e-3


def main(program, design):
    """Runs both sides and prints the comparison."""
    ours = json.loads(subprocess.run([program, design], check=True, capture_output=True).stdout)
    fine = Side(ours, ours["fine"], ours["samples"])
    times = []
    for _ in range(RUNS):
        clock = time.perf_counter()
        fine.layers()
        times.append(time.perf_counter() - clock)
    theirs = statistics.median(times)
    layers = Side(ours, ours["coarse"], MANY).layers().reshape(ours["width"], ours["height"], MANY)
    whole = np.all(layers >= 0, axis=2).T[::-1]
    known = np.array([np.nan if s is None else s for s in ours["bright"]]).reshape(ours["height"], ours["width"])
    off = np.abs((layers % 2).mean(axis=2).T[::-1] - known)[whole]
    apart, tenth = float(np.sqrt(np.mean(off**2))), float(np.mean(off > 0.1))
    ratio = theirs / ours["seconds"]
    print(f"ours {ours['seconds'] * 1e3:.1f} ms, NumPy {theirs * 1e3:.1f} ms, ratio {ratio:.1f}")
    print(f"samples {fine.size}; off by {apart:.1e} (root mean square), by a tenth in {tenth:.1e} of the pixels")
    return 0 if ratio >= WANTED and apart <= APART and tenth <= TENTH else 1


class Side:
    """The sections at every column of samples, as arrays of one length."""

    def __init__(self, ours, columns, samples):
        count = ours["height"] * samples
        step = 1 / (ours["dots"] * samples)
        low = ours["top"] - ours["height"] / ours["dots"]
        self.rows = low + (np.arange(count) + 0.5) * step
        self.columns = [None if c is None else Column(c, ours["recipe"]) for c in columns]
        self.count = ours["recipe"]["layers"]
        self.size = count * len(columns)

    def layers(self):
        """The layer at every sample, column by column from below; -1 beside the blade."""
        empty = np.full(len(self.rows), -1)
        return np.concatenate([empty if c is None else c.layers(self.rows, self.count) for c in self.columns])


class Column:
    """The map in one plane square to the blade."""

    def __init__(self, column, recipe):
        self.forged = {k: np.array(v) for k, v in column["forged"].items()}
        self.stage = {k: np.array(v) for k, v in column["stage"].items()}
        thickness = self.forged["right"] - self.forged["left"]
        steps = np.diff(self.forged["y"]) * 0.5 * (thickness[1:] + thickness[:-1])
        self.below = np.concatenate([[0.0], np.cumsum(steps)])
        self.thickness = thickness
        faces = np.array(recipe["tang" if column["tang"] else "blade"])
        self.low, self.high = faces[:, 0], faces[:, 1]
        self.angles = np.array(column["angles"])

    def layers(self, rows, count):
        """The layers at these heights of the right flank."""
        y = self.forged["y"]
        z = np.interp(rows, self.stage["y"], self.stage["right"])
        i = np.clip(np.searchsorted(y, rows, side="right") - 1, 0, len(y) - 2)
        t = np.clip((rows - y[i]) / (y[i + 1] - y[i]), 0, 1)
        thick = self.thickness[i] + (self.thickness[i + 1] - self.thickness[i]) * t
        left = self.forged["left"][i] + (self.forged["left"][i + 1] - self.forged["left"][i]) * t
        below = self.below[i] + (y[i + 1] - y[i]) * t * 0.5 * (self.thickness[i] + thick)
        up = below / self.below[-1] * self.high[-1]
        through = np.clip((z - left) / np.maximum(thick, 1e-12), 0, 1) - 0.5
        k = np.clip(np.searchsorted(self.low, up, side="right") - 1, 0, len(self.low) - 1)
        across = (up - self.low[k]) / (self.high[k] - self.low[k]) - 0.5
        before = untwisted(across, through, self.angles[k])
        found = np.clip(((before + 0.5) * count).astype(int), 0, count - 1)
        inside = (rows >= self.stage["y"][0]) & (rows <= self.stage["y"][-1])
        return np.where(inside, found, -1)


def untwisted(x, y, angle):
    """First coordinate in the square before the twist: square to disc, back by the angle, disc to square.

    Shirley and Chiu 1997, written with angles and radii as the paper has it.
    """
    radius, theta = to_disc(x, y)
    return to_square(radius, theta - angle)


def to_disc(x, y):
    """Radius (half the ring's side) and angle of a point of the square."""
    wide = np.abs(x) >= np.abs(y)
    radius = np.where(wide, np.abs(x), np.abs(y))
    with np.errstate(divide="ignore", invalid="ignore"):
        flat = np.where(x < 0, np.pi, 0) + np.pi / 4 * np.nan_to_num(y / x)
        tall = np.where(y < 0, 1.5 * np.pi, 0.5 * np.pi) - np.pi / 4 * np.nan_to_num(x / y)
    return radius, np.where(wide, flat, tall)


def to_square(radius, theta):
    """First coordinate of the point of the square that has this radius and angle."""
    side = np.round(theta / (np.pi / 2))
    off = (theta - side * np.pi / 2) / (np.pi / 4)
    side = np.mod(side, 4)
    return radius * np.select([side == 0, side == 1, side == 2], [1, -off, -1], off)


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
