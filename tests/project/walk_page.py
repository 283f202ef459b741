"""Makes docs/walk.md: the walk of a newcomer, command and output for each point. `python -m tests.project.walk_page`."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.project.walk_points import POINTS, Point

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "walk.md"
MOST = 12
HEAD = """# A newcomer's walk

What somebody sees who has never met the program: forty points, each with its command and the first lines that it prints.
Made by `python -m tests.project.walk_page` from the top of the repository; whoever changes an output makes it anew. `$T` is
an empty folder. Where no command shows a point (keyboard, print, writing under power cuts) the tests are run that hold it.

Scores are those of a reader: 2 as asked, 1 in part, 0 not. Together **{sum} of {most}**.{lacking}
"""


def heading(number: int, point: Point) -> str:
    """Group where one begins, number, title, score and what is lacking."""
    group = f"## {point.group}\n\n" if point.group else ""
    lacks = f" {point.lacks}" if point.lacks else ""
    return f"{group}### {number}. {point.title}\n\nScore {point.score}.{lacks}\n"


def head() -> str:
    """What stands above the points."""
    lacking = [str(number) for number, each in enumerate(POINTS, 1) if each.score < 2]
    said = f" Less than 2: points {', '.join(lacking)}." if lacking else ""
    return HEAD.format(sum=sum(each.score for each in POINTS), most=2 * len(POINTS), lacking=said)


def shown(printed: str) -> str:
    """The first lines of an output."""
    lines = [line.rstrip() for line in printed.splitlines()]
    return "\n".join(lines[:MOST] + ([f"... {len(lines) - MOST} more lines"] if len(lines) > MOST else []))


def block(point: Point) -> str:
    """Command and output, run here and now."""
    path = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    with tempfile.TemporaryDirectory() as folder:
        ran = subprocess.run(
            ["bash", "-c", f"TIMEFORMAT='%U s of work'\n{point.command}"], cwd=ROOT, check=False, stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT, env={**os.environ, "PATH": path, "NO_COLOR": "1", "T": folder},
        )  # fmt: skip
    said = shown(ran.stdout.decode().replace(folder, "$T"))
    return f"```\n$ {point.command}\n{said}\n```\n"


def blocks() -> list[str]:
    """The blocks of the page as it lies there."""
    return re.findall(r"^```\n.*?^```\n", PAGE.read_text(encoding="utf-8"), flags=re.MULTILINE | re.DOTALL)


def render() -> str:
    """The page: every command run here and now; a number after the call makes only that point anew."""
    wanted = {int(each) for each in sys.argv[1:]}
    kept = blocks() if wanted else []
    parts = [head()]
    for number, point in enumerate(POINTS, 1):
        made = kept[number - 1] if wanted and number not in wanted else block(point)
        print(number, made, file=sys.stderr, flush=True)
        parts += [heading(number, point), made]
    return "\n".join(parts)


if __name__ == "__main__":
    PAGE.write_text(render(), encoding="utf-8")
