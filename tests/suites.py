"""Builds the Rust suites and runs them side by side, one for each core.

Usage: suites.py

Cargo runs suites one after the other, and several of them are one long sweep that keeps a single core busy. Each
suite's output is printed whole, in the order in which they end.
"""

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path

CARGO = ["cargo", "test", "--workspace", "--release", "--locked", "--no-run", "--message-format", "json-render-diagnostics"]

# The longest sweeps begin first, so that none of them runs on alone at the end.
LONGEST = ["mutations", "random", "mesh_split", "kills", "bench", "hostile", "tools", "sheets", "grinding", "tooling", "fit"]
LONGEST += ["pulls", "folders", "laminate", "billets"]


def main():
    """Runs all suites; the exit code is 1 when one failed or none was built."""
    suites = sorted(built(), key=lambda suite: (rank(suite.name), suite.name, suite.program))
    failed = 0
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        for job in as_completed([pool.submit(suite.run) for suite in suites]):
            status, text = job.result()
            failed += status != 0
            sys.stdout.buffer.write(text)
            sys.stdout.flush()
    return 1 if failed or not suites else 0


def rank(name):
    """The place of a suite among the longest, the others after them."""
    return LONGEST.index(name) if name in LONGEST else len(LONGEST)


def built():
    """Every suite that cargo builds."""
    messages = subprocess.run(CARGO, stdout=subprocess.PIPE, check=True).stdout
    for line in messages.splitlines():
        message = json.loads(line)
        if message["reason"] == "compiler-artifact" and message["profile"]["test"] and message["executable"]:
            yield Suite(message["target"]["name"], message["executable"], Path(message["manifest_path"]).parent)


class Suite:
    """One program of tests, run where its package lies, as cargo would."""

    def __init__(self, name, program, folder):
        self.name = name
        self.program = program
        self.folder = folder

    def run(self):
        """The exit code, and what was printed under the suite's name."""
        done = subprocess.run([self.program], cwd=self.folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        head = f"\n     Running {self.folder.name} {self.name}\n"
        return done.returncode, head.encode() + done.stdout


if __name__ == "__main__":
    sys.exit(main())
