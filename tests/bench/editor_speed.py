"""From a typed figure to the verdict in an editor: `python tests/bench/editor_speed.py [CAMERAS] [--check] [--json]`.

The server of `coaxwright editor` is asked over the protocol by a client of our own: the text is sent anew with another length
of cable, and the diagnostics of that text waited for; then completion and hover are asked. Beside it stands the time that
one whole check of the same text takes in this process, so that figures of two machines can be compared: with `--check` the
exit status is 1 where an answer takes more than its limit in such checks. 64 cameras on an idle machine: 150 ms.
"""

from __future__ import annotations

import argparse
import json
import re
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "engine"))

from big_sites import write_site
from tests.editor.client import Client

from coaxwright.checking import check
from coaxwright.reading.site_reader import load_site_text

TIMES = 25
LIMITS = {"verdict / check": 3.0, "completion / check": 1.0, "hover / check": 2.0}
"""An idle machine checks 64 cameras in some 27 ms (docs/performance.md): 3 such checks are far within 150 ms."""


def milliseconds(work: Callable[[int], object]) -> float:
    """The median of several runs, each with another number; the first does not count."""
    taken = []
    for number in range(TIMES + 1):
        begun = time.perf_counter()
        work(number)
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken[1:])


def measured(cameras: int, folder: Path) -> dict[str, float]:
    """All figures for one size."""
    site = write_site(cameras, folder)
    text = site.read_text(encoding="utf-8")
    length = re.search(r"length: (\d+) m", text)
    assert length is not None
    line = text.count("\n", 0, length.start())
    column = length.start() - text.rfind("\n", 0, length.start()) - 1

    def edited(number: int) -> str:
        return text[: length.start(1)] + str(40 + number) + text[length.end(1) :]

    with Client([sys.executable, "-m", "coaxwright", "editor"], folder) as client:
        uri, version = client.open(site, text), [1]
        client.told(uri)

        def verdict(number: int) -> None:
            version[0] += 1
            client.change(uri, edited(number), version[0])
            client.told(uri)

        def asked(what: str) -> Callable[[int], object]:
            place = {"textDocument": {"uri": uri}, "position": {"line": line, "character": column + 2}}
            return lambda number: client.ask(f"textDocument/{what}", place)

        figures = {"verdict, ms": milliseconds(verdict)}
        figures |= {f"{what}, ms": milliseconds(asked(what)) for what in ("completion", "hover")}
    base = milliseconds(lambda number: check(load_site_text(edited(number), str(site), folder)))
    return {"check, ms": base, **figures, **{f"{name[:-4]} / check": value / base for name, value in figures.items()}}


def main() -> int:
    """Print the figures; with `--check`, 1 where one is beyond its limit."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("cameras", nargs="?", type=int, default=64)
    parser.add_argument("--check", action="store_true", help="exit status 1 where a limit is missed")
    parser.add_argument("--json", action="store_true", help="print JSON")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        figures = measured(arguments.cameras, Path(name))
    missed = [name for name, most in LIMITS.items() if figures[name] > most]
    if arguments.json:
        print(json.dumps({"figures": figures, "limits": LIMITS, "missed": missed}, indent=2))
    else:
        for name, value in figures.items():
            limit = f"   at most {LIMITS[name]:g}" if name in LIMITS else ""
            print(f"{name:24}{value:10.2f}{limit}{'   MISSED' if name in missed else ''}")
    return 1 if arguments.check and missed else 0


if __name__ == "__main__":
    sys.exit(main())
