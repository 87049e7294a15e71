"""What several checks share."""

import json
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def metadata(*options):
    """`cargo metadata` of the workspace, parsed."""
    command = ["cargo", "metadata", "--format-version", "1", "--locked", *options]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if run.returncode:
        raise SystemExit(run.stderr)
    return json.loads(run.stdout)
