"""Small invented sites for tests: a text below a base of parts, read and wired as any other site."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.reading.site_reader import load_site_text
from coaxwright.topology.wiring import build_topology

PARTS: dict[str, Any] = {
    "tarnwell/r8": {
        "kind": "recorder", "source": "invented",
        "inputs": [
            {
                "channels": "1-8",
                "accepts": [
                    {"family": ["tvi", "ahd"], "mode": ["1920x1080@25", "1920x1080@30", "1280x720@25"]},
                    {"family": "tvi", "mode": ["2560x1440@25", "2592x1944@20"], "width": "reduced"},
                    {"family": "tvi", "mode": "2592x1944@12.5"},
                ],
                "asks": [{"family": "tvi", "seen": "2592x1944@20", "wanted": "2592x1944@12.5"}],
            }
        ],
        "encodes": [{"up_to": "1920x1080", "rate": "25 fps"}, {"up_to": "2592x1944", "rate": "12.5 fps"}],
        "encodes_total": "400 Mpx/s", "codecs": ["h264", "h265"], "bays": 2, "disk_max": "8 TB",
        "redundancy": ["raid1"], "record_bitrate": "64 Mb/s", "settings": ["mirror-view"],
        "sound": {"coax_channels": "1-4", "coax_families": ["tvi"], "line_inputs": 1},
        "control": {"coax_families": ["tvi"]}, "firmware_over_coax": {"families": ["tvi"]}, "sorted_motion": "1-2",
        "network": {"cameras": 2}, "temperature_min": "0 °C", "temperature_max": "45 °C",
    },
    "tarnwell/c5": {
        "kind": "camera", "source": "invented", "heeds_asks": True, "firmware_over_coax": ["tvi"],
        "emits": [{"family": "tvi", "mode": ["2592x1944@20", "2592x1944@12.5", "1920x1080@25"]}],
        "starts_as": {"family": "tvi", "mode": "2592x1944@20"},
        "sound": {"microphone": True, "over_coax": ["tvi"]}, "control": {"over_coax": ["tvi"]},
        "housing": {"rated": "outdoor", "ip": "IP66/IP67", "ik": "IK10",
                    "temperature_min": "-30 °C", "temperature_max": "60 °C"},
    },
    "fennick/c2": {
        "kind": "camera", "source": "invented", "heeds_asks": False,
        "emits": [{"family": ["tvi", "cvi"], "mode": ["1920x1080@25", "2560x1440@25"]}],
        "starts_as": {"family": "tvi", "mode": "1920x1080@25"},
    },
    "tarnwell/d4": {"kind": "disk", "source": "invented", "capacity": "4 TB", "continuous": True,
                    "workload": "180 TB/year"},
    "hollin/coax": {
        "kind": "cable", "source": "invented", "carries": ["coax"], "impedance": "75 ohm", "centre": "copper",
        "rated": "outdoor",
        "attenuation": [[5, 2.82], [55, 6.73], [211, 12.5]],
    },
    "hollin/line": {"kind": "cable", "source": "invented", "carries": ["line"]},
    "hollin/iso": {
        "kind": "box", "source": "invented", "does": "isolator", "loss": "0.5 dB",
        "passes_sound": False, "passes_control": True, "passes_firmware": True,
    },
    "hollin/p": {"kind": "pickup", "source": "invented", "reach": "50 m", "output": "line"},
}  # fmt: skip


def facts(tmp_path: Path, site: dict[str, Any], parts: dict[str, Any] | None = None) -> Facts:
    """Facts of a site; `parts` replaces or adds keys of the parts above (None takes a key away)."""
    merged = merge(PARTS, parts or {})
    (tmp_path / "p.yaml").write_text(json.dumps({"parts": merged}), encoding="utf-8")
    written = {"site": "Quay", "parts": ["p.yaml"], **site}
    loaded = load_site_text(json.dumps(written), "q.site.yaml", tmp_path)
    return compute_facts(loaded, build_topology(loaded))


def merge(base: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """`base` with the keys of `change`, tables joined, None taking a key away."""
    result = dict(base)
    for key, value in change.items():
        if value is None:
            result.pop(key, None)
        elif isinstance(value, dict) and isinstance(result.get(key), dict):
            result[key] = merge(result[key], value)
        else:
            result[key] = value
    return result


def cam(part: str, port: str, length: str | None = "100 m", **more: Any) -> dict[str, Any]:
    """A camera entry on a recorder port."""
    hop = {"cable": "hollin/coax"} | ({"length": length} if length else {})
    return {"part": part, "video": {"into": port, "over": [hop]}, **more}


def rec(**more: Any) -> dict[str, Any]:
    """A recorder entry."""
    return {
        "part": "tarnwell/r8",
        "disks": ["tarnwell/d4", "tarnwell/d4"],
        "record": {"codec": "h264", "schedule": "continuous"},
        **more,
    }
