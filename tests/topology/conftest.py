"""Sites as text for the topology tests, read by the project's own reader. All names and makers are
invented.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.reading.site_reader import read_site
from coaxwright.topology.wiring import Topology, build_topology

PARTS = """
parts:
  fennick/cam: {kind: camera, source: invented, emits: [{family: tvi, mode: 1920x1080@25}],
    power: {volts: 12 V, volts_min: 10 V, volts_max: 14 V, watts_day: 3 W, watts_night: 6 W}}
  tarnwell/rec: {kind: recorder, source: invented,
    inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}],
    outputs: [{connector: main-screen, mode: 1920x1080@60}], power: {volts: 12 V, watts_day: 20 W}}
  tarnwell/psu: {kind: supply, source: invented, volts: 12 V, amps: 10 A, outputs: 4, amps_per_output: 2 A}
  hollin/arrester: {kind: box, source: invented, does: arrester, resistance: 0.5 ohm}
  hollin/switch: {kind: switch, source: invented, ports: 8, poe_ports: 4}
  fennick/disk: {kind: disk, source: invented, capacity: 4 TB}
  hollin/screen: {kind: monitor, source: invented, connectors: [main-screen]}
"""
HEAD = """
site: Test pier
parts: [parts.yaml]
recorders: {rec1: {part: tarnwell/rec}}
supplies: {psu1: {part: tarnwell/psu}}
"""


@pytest.fixture
def load(tmp_path: Path) -> Callable[..., Any]:
    """Read a site: `load(text)` with the head above, or `load(text, head=...)`."""

    def read(text: str, head: str = HEAD) -> Any:
        (tmp_path / "parts.yaml").write_text(PARTS, encoding="utf-8")
        path = tmp_path / "pier.site.yaml"
        path.write_text(head + textwrap.dedent(text), encoding="utf-8")
        return read_site(path)

    return read


@pytest.fixture
def wire(load: Callable[..., Any]) -> Callable[..., Topology]:
    """Read a site and build its topology."""
    return lambda text, head=HEAD: build_topology(load(text, head))


@pytest.fixture
def refused(load: Callable[..., Any]) -> Callable[..., list[str]]:
    """The problems of a site that reads well and cannot be wired, each as `line: what; right`."""

    def problems(text: str, head: str = HEAD) -> list[str]:
        loaded = load(text, head)
        with pytest.raises(Refusal) as caught:
            build_topology(loaded)
        lines = text.splitlines()
        found = []
        for problem in caught.value.problems:
            assert problem.span is not None
            assert problem.file.endswith("pier.site.yaml")
            line = lines[problem.span.line - head.count("\n") - 1].strip()
            found.append(f"{line} | {problem.what}; {problem.right}")
        return found

    return problems
