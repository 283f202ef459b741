"""Sites for the power tests, written as real files and read by the project's own reader. All names are
invented.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.reading.site_reader import read_site
from coaxwright.topology.wiring import build_topology

Build = Callable[..., Facts]
EMITS = [{"family": "tvi", "mode": "1920x1080@25"}]


def camera_part(watts: float | None, load: str | None = "constant-power", **power: Any) -> dict[str, Any]:
    """A 12 V camera that draws the same by day and by night."""
    stated = {"volts": "12 V", "load": load, "watts_day": watts, "watts_night": watts, **power}
    units = {"watts_day": "W", "watts_night": "W", "watts_heater": "W", "watts_motor": "W"}
    fields = {
        name: f"{value} {units[name]}" if name in units else value
        for name, value in stated.items()
        if value is not None
    }
    return {"kind": "camera", "source": "invented", "emits": EMITS, "power": fields}


def box_part(ohms: float | None) -> dict[str, Any]:
    """A box of that series resistance, to make round figures of networks."""
    stated = {} if ohms is None else {"resistance": f"{ohms} ohm"}
    return {"kind": "box", "source": "invented", "does": "joint", **stated}


def cable_part(size: str, stranding: str, material: str = "copper") -> dict[str, Any]:
    """A power cable of two conductors."""
    conductor = {"size": size, "material": material, "stranding": stranding}
    return {"kind": "cable", "source": "invented", "carries": ["power"], "conductor": conductor}


PARTS: dict[str, Any] = {
    "tarnwell/dc12": {
        "kind": "supply", "source": "invented", "volts": "12 V", "amps": "20 A", "outputs": 8,
        "amps_per_output": "5 A",
    },
    "tarnwell/ac24": {
        "kind": "supply", "source": "invented", "gives": "ac", "volts": "24 V", "amps": "8 A", "outputs": 8,
    },
    "fennick/six": camera_part(6.0),
    "hollin/flex-0.5": cable_part("0.5 mm2", "flexible"),
    "hollin/flex-0.75": cable_part("0.75 mm2", "flexible"),
    "hollin/strand-1": cable_part("1 mm2", "stranded"),
    "hollin/strand-1.5": cable_part("1.5 mm2", "stranded"),
}  # fmt: skip


@pytest.fixture
def build(tmp_path: Path) -> Build:
    """Facts of a site (as JSON, which is YAML too): `build(site, parts)`; one 12 V supply `psu1` unless the
    site names its own.
    """

    def made(site: Mapping[str, Any], parts: Mapping[str, Any] | None = None) -> Facts:
        whole = {
            "site": "Test pier",
            "parts": ["parts.yaml"],
            "supplies": {"psu1": {"part": "tarnwell/dc12"}},
        }
        whole.update(copy.deepcopy(dict(site)))
        (tmp_path / "parts.yaml").write_text(json.dumps({"parts": {**PARTS, **(parts or {})}}))
        path = tmp_path / "pier.site.yaml"
        path.write_text(json.dumps(whole))
        loaded = read_site(path)
        return compute_facts(loaded, build_topology(loaded))

    return made


def run(cable: str, metres: float, degc: float | None = 20.0) -> dict[str, Any]:
    """One run, at 20 °C unless told otherwise."""
    return {
        "cable": cable,
        "length": f"{metres} m",
        **({} if degc is None else {"temperature": f"{degc} °C"}),
    }


def fed(part: str, source: str, *over: dict[str, Any]) -> dict[str, Any]:
    """A camera of that part on that source."""
    return {"part": part, "power": {"from": source, "over": list(over)}}


def feed(facts: Facts, name: str) -> Any:
    """The feed of a camera."""
    return facts.sheet(f"cameras/{name}", "feed")


@pytest.fixture
def kit() -> Any:
    """The makers of parts and entries above, for tests that build sites."""

    class Kit:
        camera_part = staticmethod(camera_part)
        box_part = staticmethod(box_part)
        cable_part = staticmethod(cable_part)
        run = staticmethod(run)
        fed = staticmethod(fed)
        feed = staticmethod(feed)

    return Kit
