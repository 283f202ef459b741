"""Reads quantities as docs/limits-of-input.md lists them, and site and part files as plain YAML."""

import re
from functools import cache
from pathlib import Path
from typing import Any

import yaml


class Open(Exception):
    """Something that nobody stated is needed."""


class Gap(Exception):
    """The pages under docs/ do not say what to do."""


#: Factor to the base unit, by what the unit measures; docs/limits-of-input.md, table of units.
FACTORS = {
    "length": {"m": 1.0, "km": 1000.0, "cm": 0.01, "mm": 0.001, "ft": 0.3048, "in": 0.0254, "yd": 0.9144},
    "volts": {"V": 1.0, "mV": 1e-3, "V DC": 1.0, "V AC": 1.0},
    "amps": {"A": 1.0, "mA": 1e-3},
    "watts": {"W": 1.0, "mW": 1e-3, "kW": 1e3},
    "ohms": {"ohm": 1.0, "mohm": 1e-3},
    "ohms a metre": {"ohm/km": 1e-3, "ohm/m": 1.0, "ohm/100m": 1e-2, "ohm/1000ft": 1.0 / 304.8},
    "bytes": {"TB": 1e12, "GB": 1e9, "TiB": 2.0**40},
    "bits": {"Mb/s": 1e6, "kb/s": 1e3, "Mbit/s": 1e6},
    "days": {"days": 1.0, "weeks": 7.0, "h": 1.0 / 24.0},
    "fps": {"fps": 1.0},
    "celsius": {"°C": 1.0},
    "decibels": {"dB": 1.0},
    "megahertz": {"MHz": 1.0, "kHz": 1e-3},
    "share": {"%": 0.01},
    "pixels a second": {"Mpx/s": 1e6, "Gpx/s": 1e9},
    "hours": {"h": 1.0, "min": 1.0 / 60.0},
    "amp hours": {"Ah": 1.0},
}


def quantity(text: str | None, kind: str) -> float:
    """A written quantity in base units; Open where nothing is written."""
    if text is None:
        raise Open
    number, unit = re.fullmatch(r"\s*([-+]?[0-9.]+(?:e[0-9]+)?)\s*(.+?)\s*", str(text)).groups()
    if kind == "celsius" and unit == "°F":
        return (float(number) - 32.0) / 1.8
    return float(number) * FACTORS[kind][unit]


def size(text: str) -> float:
    """A conductor in mm2; wire gauges by ASTM B258: 0.127 mm x 92^((36 - n) / 39)."""
    if text.endswith("AWG"):
        return 3.141592653589793 / 4.0 * (0.127 * 92.0 ** ((36 - int(text.split()[0])) / 39.0)) ** 2
    return float(text.split()[0])


def mode(text: str) -> tuple[int, int, float]:
    """`2592x1944@12.5` as columns, lines, frames a second."""
    frame, rate = text.split("@")
    return (*frame_size(frame), float(rate))


def frame_size(text: str) -> tuple[int, int]:
    """`1920x1080` as columns and lines."""
    columns, lines = text.split("x")
    return int(columns), int(lines)


def channels(value: Any) -> list[int]:
    """Channel numbers: one number, or ranges as in `1-4, 7`."""
    numbers: list[int] = []
    for piece in str(value).split(","):
        first, _, last = piece.partition("-")
        numbers += range(int(first), int(last or first) + 1)
    return numbers


def listed(value: Any) -> list[Any]:
    """One value, or a list of them, as a list."""
    return value if isinstance(value, list) else [value]


#: The quick form of yaml.safe_load, where there is one.
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def files(folder: Path) -> tuple[dict[str, Any], dict[str, Any]]:
    """The site of a folder and its parts by id."""
    site, parts = (
        yaml.load((folder / f"third.{kind}.yaml").read_text(encoding="utf-8"), LOADER) for kind in ("site", "parts")
    )
    return site, parts["parts"]


def maker(part_id: str, part: dict[str, Any]) -> str:
    """Maker of a part: stated, or the word before the stroke of its id."""
    return part.get("maker", part_id.split("/")[0])


def made_for(wanted: str, of_own: str, other: str) -> bool:
    """Whether a row for `any`, `own` or one maker holds for a device of another one."""
    return wanted == "any" or other == (of_own if wanted == "own" else wanted)


@cache
def table(name: str) -> list[dict[str, str]]:
    """A table as docs/rules/tables.md prints it: rows of texts by heading."""
    page = (Path(__file__).resolve().parents[2] / "docs" / "rules" / "tables.md").read_text(encoding="utf-8")
    lines = page.split(f"\n## {name}\n", 1)[1].split("\n## ", 1)[0].splitlines()
    rows = [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines if line.startswith("|")]
    return [dict(zip(rows[0], row, strict=True)) for row in rows[2:]]


def figure(name: str, field: str, **key: str) -> float:
    """One number of a table of the docs."""
    return float(next(row[field] for row in table(name) if all(row[each] == value for each, value in key.items())))


def assumed(name: str) -> str:
    """The value of an assumption, as the docs print it."""
    return next(row["value"] for row in table("assumptions") if row["name"] == name)
