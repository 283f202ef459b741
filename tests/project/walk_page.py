"""Makes docs/walk.md: the walk of a newcomer, command and output for each point. `python -m tests.project.walk_page`."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "walk.md"
PRESS = "examples/cider-press/quill-orchard.site.yaml"
MOST = 8
POINTS = [
    ("A bare call says what this is and what to do next", "coaxwright"),
    ("Help begins with examples", "coaxwright check --help"),
    ("A command that is misspelt", "coaxwright chek x"),
    ("An option that is misspelt", "coaxwright check x --fromat json"),
    ("A rule that is misspelt", "coaxwright explain power/undervoltge"),
    ("A file that is not there", "coaxwright check missing.site.yaml"),
    ("A text that cannot be read", "printf 'site: [' | coaxwright check -"),
    ("The first look at a site", f"coaxwright check {PRESS} --today 2026-11-30"),
    ("A line for each finding", f"coaxwright check {PRESS} --detail concise --today 2026-11-30"),
    ("Why a rule exists", "coaxwright explain power/undervoltage"),
    ("Every number of a camera, with its working", f"coaxwright explain {PRESS} cameras/yard"),
    ("How far numbers may move", f"coaxwright limits {PRESS} cameras/yard"),
    ("A change, as a difference of the file", f"coaxwright fix {PRESS} --on cameras/yard --diff"),
    ("What something else would change", f"coaxwright what-if {PRESS} --remove cameras/yard"),
    ("Which faults are commonest", "coaxwright check examples --format statistics --today 2026-11-30"),
    ("Lines for a code host", f"coaxwright check {PRESS} --format annotations --today 2026-11-30"),
    ("No escape codes in a pipe", f"coaxwright check {PRESS} --today 2026-11-30 | grep -c $'\\e' || true"),
    ("A reader that goes away", f"coaxwright check {PRESS} --today 2026-11-30 | head -1"),
    ("A full disk", f"coaxwright check {PRESS} > /dev/full; echo status $?"),
    ("A pair at the counter", "coaxwright pair brackwater/dome-2 tarnwell/middle-8 --parts 'examples/cider-press/parts/*.yaml'"),
    ("Questions without their key", "coaxwright quiz make --count 2 --topic power --seed 7"),
    ("Rules prove themselves", "coaxwright rules test power/undervoltage"),
]  # fmt: skip
HEAD = """# A newcomer's walk

What somebody sees who has never met the program: each point with its command and the first lines that it prints. Made by
`python -m tests.project.walk_page` from the top of the repository; whoever changes an output makes it anew. Points that no
command shows (keyboard, print, phone, writing under power cuts) are held by tests in `tests/desk`,
`tests/report` and `tests/hostile`.
"""


def render() -> str:
    """The page: every command run here and now."""
    here = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    parts = [HEAD]
    for number, (title, command) in enumerate(POINTS, 1):
        ran = subprocess.run(
            ["bash", "-c", command], cwd=ROOT, check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            env={**os.environ, "PATH": here, "NO_COLOR": "1"},
        )  # fmt: skip
        lines = [line.rstrip() for line in ran.stdout.decode().splitlines()]
        shown = lines[:MOST] + ([f"... {len(lines) - MOST} more lines"] if len(lines) > MOST else [])
        parts.append(f"## {number}. {title}\n\n```\n$ {command}\n" + "\n".join(shown) + "\n```\n")
    return "\n".join(parts)


if __name__ == "__main__":
    PAGE.write_text(render(), encoding="utf-8")
