"""Spot the fault: names of faults as options print them, and the claims of each topic."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from ..faults import cables, channels, places, signals, talk
from ..faults import power as power_faults
from ..faults import sights as sight_faults
from ..faults import store as store_faults
from ..judging import Claims, Spot

RULES = Path(__file__).parents[4] / "rules"


@cache
def _read(name: str) -> Any:
    """A file of the rules, read once: topics share rules."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return yaml.load((RULES / f"{name}.yaml").read_text(encoding="utf-8"), loader)


def titles(rules: Any) -> dict[str, str]:
    """Rule by the title that options print: words of the rule files, nothing that they compute."""
    found = {}
    for rule in rules:
        if (RULES / f"{rule}.yaml").exists():
            found[_read(rule)["title"]] = rule
    for fault in _read("quiz/faults")["faults"]:
        if fault.get("named") and fault["rule"] in rules:
            found[fault["named"]] = fault["rule"]
    return found


def _spots(topic: str, known: Claims) -> dict[str, Any]:
    judge = Spot(known, titles(known))
    return {f"{topic}/spot-the-fault": judge, f"{topic}/two-faults": judge}


SPOTS: dict[str, Any] = {
    **_spots("power", power_faults.POWER),
    **_spots("storage", store_faults.STORAGE),
    **_spots("channels", channels.CHANNELS),
    **_spots("signal", signals.SIGNAL),
    **_spots("picture", {**signals.PICTURE, **signals.SIGNAL}),
    **_spots("sound", talk.SOUND),
    **_spots("control", talk.CONTROL),
    **_spots("cable", cables.CABLE),
    **_spots("place", places.PLACE),
    **_spots("view", sight_faults.VIEW),
    **_spots("display", sight_faults.DISPLAY),
    **_spots("network", sight_faults.NETWORK),
    **_spots("practice", sight_faults.PRACTICE),
}
