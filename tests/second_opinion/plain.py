"""Second opinion: reading of quantities, tables and generic parts with nothing but a YAML reader.

Shares no code with the engine. Values become numbers in base units; what a document leaves out is None.
"""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path

import yaml

REPO = Path(__file__).resolve().parents[2]
SCALE = {
    "": 1.0, "V": 1.0, "A": 1.0, "W": 1.0, "VA": 1.0, "J": 1.0, "m": 1.0, "ft": 0.3048, "cm": 0.01, "mm": 1.0, "mm2": 1.0,
    "ohm": 1.0, "ohm/km": 0.001, "dB": 1.0, "fps": 1.0, "%": 0.01, "days": 1.0, "day": 1.0, "weeks": 7.0, "h": 1.0,
    "TB": 1e12, "GB": 1e9, "TB/year": 1e12, "kb/s": 1e3, "Mb/s": 1e6, "Mpx/s": 1e6, "°C": 1.0, "K": 1.0, "mV": 0.001,
    "mA": 0.001, "Ah": 1.0, "lx": 1.0, "px/m": 1.0, "deg": 1.0, "°": 1.0, "MHz": 1.0, "s": 1.0,
    "baud": 1.0, "TiB": 2.0**40, "kVA": 1000.0, "min": 1 / 60,
}  # fmt: skip


def num(text):
    """A number of a quantity as written; None stays None."""
    if text is None or isinstance(text, bool):
        return None
    if isinstance(text, int | float):
        return float(text)
    found = re.fullmatch(r"\s*(-?[\d.]+(?:e\d+)?)\s*(.*?)\s*", text)
    if found[2] == "AWG":  # ASTM B258
        return math.pi / 4 * (0.127 * 92 ** ((36 - float(found[1])) / 39)) ** 2
    return float(found[1]) * SCALE[found[2]]


def yes(value):
    """True, False or None, whether it was read as text or is a truth value."""
    return {"true": True, "false": False, "yes": True, "no": False}.get(str(value).lower())


def many(value):
    return [] if value is None else list(value) if isinstance(value, list | tuple) else [value]


def mode(text):
    """Columns, lines, frames a second."""
    size, _, fps = text.partition("@")
    wide, _, high = size.partition("x")
    return int(wide), int(high), float(fps)


def mode_text(one):
    return f"{one[0]}x{one[1]}@{one[2]:g}"


def channels(value):
    """`1-4`, `3`, or a list of such."""
    if value is None:
        return None
    found = []
    for each in many(value):
        low, _, high = str(each).partition("-")
        found += range(int(low), int(high or low) + 1)
    return found


@cache
def table(name):
    """Rows of a table of `rules/tables` as text."""
    text = (REPO / "rules" / "tables" / f"{name}.yaml").read_text(encoding="utf-8")
    return yaml.load(text, Loader=yaml.BaseLoader)["rows"]


WRITTEN = {}
"""What the site at hand writes under `assume`, by name of the table."""


def assume(written):
    """From here on these values stand in for the table's."""
    WRITTEN.clear()
    for name, value in (written or {}).items():
        for each in ("h264", "h265") if name == "bits_per_pixel" else ("",):
            WRITTEN[name.replace("_", "-") + (f"-{each}" if each else "")] = num(value)


def assumption(name):
    return WRITTEN[name] if name in WRITTEN else stated_assumption(name)


@cache
def stated_assumption(name):
    row = next(each for each in table("assumptions") if each["name"] == name)
    return row["value"] if row["quantity"] == "text" else num(row["value"])


def air(setting):
    """Coldest and warmest air of the environmental class of a setting."""
    row = next(row for row in table("environmental-classes") if row.get("setting") == setting)
    return num(row["ambient_min"]), num(row["ambient_max"])


@cache
def generic():
    """All generic parts."""
    found = {}
    for path in sorted((REPO / "rules" / "tables").glob("parts-*.yaml")):
        document = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        found.update(document.get("parts") or {})
    return found


def maker(part_id, part):
    """Whose part: `maker`, else the word before the stroke; `generic` is nobody."""
    name = part.get("maker") or (part_id.split("/")[0] if "/" in part_id else "")
    return "" if name == "generic" else name


def lets_in(wanted, camera_maker, recorder_maker):
    if wanted == "any":
        return True
    if camera_maker == "":
        return False
    return camera_maker == (recorder_maker if wanted == "own" else wanted)
