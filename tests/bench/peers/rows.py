"""The rows that every peer is given: facts of an invented site of `big_sites.py`, a few of its cameras made faulty.

Plain tuples of texts, numbers and truth values, one list a table. Ids are subject paths of the site.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import big_sites

from coaxwright.checking import facts_of, load_site

MORE_PARTS = """\
  bench/turret-odd:
    kind: camera
    source: invented for benchmarks
    emits:
      - {family: tvi, mode: 1280x720@50}
    starts_as: {family: tvi, mode: 1280x720@50}
    switched_by: [dip-switch]
    heeds_asks: false
    power:
      {kind: dc, volts: 12 V, volts_min: 10.5 V, volts_max: 14 V, watts_day: 2.4 W, watts_night: 5.2 W,
       load: constant-power}
"""
WEAK = {"bench/rack-32": "encodes_total: 2200 Mpx/s", "bench/dc12-16way": "amps_per_output: 5 A"}
WEAKER = {"bench/rack-32": "encodes_total: 900 Mpx/s", "bench/dc12-16way": "amps_per_output: 2 A"}


class Link(NamedTuple):
    """A camera's way into an input: loss and limit in dB, what it would record in picture elements and frames a second."""

    camera: str
    input: str
    recorder: str
    outcome: str
    emits_set_mode: bool
    family_taken: bool
    loss: float
    loss_limit: float
    pixels: int
    rate: float


class Input(NamedTuple):
    """A recorder input that a camera names."""

    input: str
    exists: bool


class Recorder(NamedTuple):
    """A recorder, with the picture elements a second that it encodes."""

    recorder: str
    encode_total: float


class Output(NamedTuple):
    """A supply output that something names, with its limit in A."""

    output: str
    exists: bool
    amps_max: float


class Feed(NamedTuple):
    """A camera's way to its power, with its current by night in A."""

    camera: str
    output: str
    amps_night: float
    collapsed: bool


class Rows(NamedTuple):
    """All tables of a site."""

    links: list[Link]
    inputs: list[Input]
    recorders: list[Recorder]
    outputs: list[Output]
    feeds: list[Feed]


def _weaker(part: str) -> str:
    """The text of a part again, under another name and with less in it."""
    text = f"  {part}:\n" + big_sites.PARTS.partition(f"  {part}:\n")[2].partition("\n  bench/")[0] + "\n"
    return text.replace(part, f"{part}-weak").replace(WEAK[part], WEAKER[part])


def camera(n: int) -> str:
    """The lines of camera `n`: one in 41 too far, one in 43 on its neighbour's input, one in 47 without a picture."""
    text = big_sites.camera(n)
    recorder, channel = n // big_sites.CHANNELS + 1, n % big_sites.CHANNELS + 1
    if n % 41 == 5:
        text = text.replace(f"length: {20 + n * 7 % 90} m", "length: 900 m", 1)
    if n % 43 == 6 and channel > 1:
        text = text.replace(f"r{recorder}/{channel}\n", f"r{recorder}/{channel - 1}\n")
    if n % 47 == 9:
        start, end = text.index("    part:"), text.index("    video:")
        odd = "    part: bench/turret-odd\n    set: {family: tvi, mode: 1280x720@50}\n"
        text = text[:start] + odd + text[end:]
    return text


def site_text(count: int) -> str:
    """The site of `big_sites.py` with faults; one recorder in five and one supply in eight is too weak."""
    text = big_sites.site_text(count)
    lines = text[: text.index("cameras:\n")].splitlines(keepends=True)
    for place, line in enumerate(lines):
        name = line.strip().partition(":")[0]
        if line.startswith("    part: bench/rack-32") and int(lines[place - 1].strip()[1:-1]) % 5 == 2:
            lines[place] = line.replace("rack-32", "rack-32-weak")
        elif "bench/dc12-16way" in line and int(name[1:]) % 8 == 4:
            lines[place] = line.replace("dc12-16way", "dc12-16way-weak")
    return "".join([*lines, "cameras:\n", *map(camera, range(count))])


def facts(count: int, folder: Path) -> Any:
    """The facts of the faulty site, read from files in `folder`."""
    (folder / "parts").mkdir(parents=True, exist_ok=True)
    parts = big_sites.PARTS + MORE_PARTS + "".join(map(_weaker, WEAK))
    (folder / "parts" / "bench.yaml").write_text(parts, encoding="utf-8")
    path = folder / f"faulty-{count}.site.yaml"
    path.write_text(site_text(count), encoding="utf-8")
    return facts_of(load_site(path))


def rows_of(found: Any) -> Rows:
    """The rows of a site; what is not known of a way without a picture is 0: no rule asks for it."""
    return Rows(
        links=[_link(each) for each in found.by_kind("link")],
        inputs=[Input(each.subject, each.exists) for each in found.by_kind("input")],
        recorders=[Recorder(each.subject, each.encode_total) for each in found.by_kind("recorder")],
        outputs=[Output(each.subject, each.exists, each.amps_max) for each in found.by_kind("output")],
        feeds=[
            Feed(each.subject, each.output.subject, each.amps_night, bool(each.known("collapsed")))
            for each in found.by_kind("feed")
        ],
    )


def _link(link: Any) -> Link:
    seen = link.outcome not in ("no-picture", "needs-setting")
    pixels = link.recorded_width * link.recorded_height if seen else 0
    rate = min(link.acquired_fps, link.channel_ceiling) if seen else 0.0
    loss, limit = (link.loss, link.loss_limit) if seen else (0.0, 0.0)
    return Link(
        link.subject, link.input.subject, link.recorder.subject, link.outcome, link.emits_set_mode,
        bool(link.known("family_taken")), loss, limit, pixels, rate,
    )  # fmt: skip
