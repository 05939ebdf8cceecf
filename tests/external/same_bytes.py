"""Compares two programs by all they write: same_bytes.py OLD NEW [DESIGN ...].

Both build every design (all profiles unless some are given) at every stage, make what only other commands make, and
print what they print; every file's SHA-256 in the manifests, every file on the disk and every text must be equal. A
refactor that changes none of it has proved itself.
"""

import hashlib
import json
import pathlib
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

from tally import Tally

ROOT = pathlib.Path(__file__).resolve().parents[2]
# What is printed, and what is written besides a whole build; FOLDER stands for a folder of the run's own.
PRINTED = [["check"], ["check", "--json"], ["plan"], ["plan", "--json"], ["fit"]]
WRITTEN = [
    ["build", "--also", "step,stl,3mf,svg,png"],
    ["template", "--hot", "700", "--paper", "letter"],
    ["sheet", "--paper", "letter"],
    ["layers", "--dots", "10"],
]
ABOUT = [["schema"], ["man"], ["completions", "bash"], ["--help"], ["build", "--help"]]


def run(program, words, folder):
    """Exit code and texts of a run, with the folder's and the program's own names taken out."""
    done = subprocess.run([program, *words], cwd=folder, capture_output=True, check=False)
    own = {str(folder): "FOLDER", pathlib.Path(program).name: "PROGRAM"}
    texts = [done.stdout, done.stderr]
    for name, stands in own.items():
        texts = [text.replace(name.encode(), stands.encode()) for text in texts]
    return done.returncode, *texts


def files(folder):
    """SHA-256 of every file below a folder, by its path, as the manifest tells it and as it is."""
    found = {}
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = str(path.relative_to(folder))
        found[name] = hashlib.sha256(path.read_bytes()).hexdigest()
        if path.name == "manifest.json":
            for entry in json.loads(path.read_text())["files"]:
                found[f"{name}: {entry['name']}"] = entry["sha256"]
    return found


def outputs(program, design):
    """Everything that a program prints and writes of a design, by what was asked for."""
    found = {}
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        copy = folder / design.name
        copy.write_bytes(design.read_bytes())
        for words in PRINTED:
            found[" ".join(words)] = run(program, [words[0], copy.name, *words[1:]], folder)
        for words in WRITTEN:
            out = f"made-{words[0]}"
            found[" ".join(words)] = run(program, [words[0], copy.name, *words[1:], "--out", out], folder)
            found.update({f"{words[0]}/{k}": v for k, v in files(folder / out).items()})
        measured = ["new", "--measured", copy.name, "--out", "table.csv"]
        found[" ".join(measured)] = run(program, measured, folder)
        table = folder / "table.csv"
        found["table.csv"] = table.read_bytes() if table.exists() else None
        found["compare"] = run(program, ["compare", copy.name, "table.csv"], folder)
    return found


def about(program):
    """What a program prints of itself."""
    with tempfile.TemporaryDirectory() as name:
        return {" ".join(words): run(program, words, pathlib.Path(name)) for words in ABOUT}


def main():
    old, new = (str(pathlib.Path(p).resolve()) for p in sys.argv[1:3])
    designs = [pathlib.Path(p).resolve() for p in sys.argv[3:]] or sorted((ROOT / "profiles").glob("*.toml"))
    tally = Tally()
    with ThreadPoolExecutor(max_workers=2) as pool:
        for name, of in [("the program itself", None), *((d.stem, d) for d in designs)]:
            jobs = [pool.submit(outputs, p, of) if of else pool.submit(about, p) for p in (old, new)]
            before, after = (job.result() for job in jobs)
            for what in sorted(before.keys() | after.keys()):
                same = what in before and what in after and before[what] == after[what]
                tally.check(same, f"{name}: {what}")
    print(tally.closing_line())
    sys.exit(1 if tally.failed else 0)


if __name__ == "__main__":
    main()
