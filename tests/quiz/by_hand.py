"""An independent judge: reads a printed paper (Markdown text) back and works the key out again without the engine.

It shares no code with the program: tables are parsed from the text, formulas are written out here.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

COPPER = 0.00393  # IEC 60028: 1/K from 20 °C
COAX = 0.00196  # printed on the paper with every question that needs it


@dataclass
class Read:
    """One question as it stands on the paper."""

    id: str
    tables: dict[str, list[dict[str, str]]] = field(default_factory=dict)
    stem: str = ""
    options: dict[str, str] = field(default_factory=dict)
    given: dict[str, str] = field(default_factory=dict)


def plain(text: str) -> str:
    return re.sub(r"\\([\\`*_\[\]<>|#~])", r"\1", text)


def cells(line: str) -> list[str]:
    return [plain(cell.strip()) for cell in re.split(r"(?<!\\)\|", line.strip().strip("|"))]


def read_paper(text: str) -> list[Read]:
    """All questions of a paper."""
    found: list[Read] = []
    title, heads = "", []
    for line in text.splitlines():
        if match := re.fullmatch(r"## [0-9]+\. \(([0-9a-f]+)\)", line):
            found.append(Read(match[1]))
            heads = []
        elif not found:
            continue
        elif line.startswith("|"):
            row = cells(line)
            if set("".join(row)) <= {"-", " "} and "---" in line:
                continue
            if not heads:
                heads = row
                found[-1].tables.setdefault("given" if heads[0] == "given" else title, [])
            elif heads[0] == "given":
                found[-1].given[row[0]] = row[1]
            else:
                found[-1].tables[title].append(dict(zip(heads, row, strict=True)))
        else:
            heads = []
            if line.startswith("**"):
                found[-1].stem = plain(line.strip("*"))
            elif match := re.fullmatch(r"- ([A-D]): (.*)", line):
                found[-1].options[match[1]] = plain(match[2])
            elif line and not line.startswith("```"):
                title = plain(line)
    return found


def number(text: str) -> float:
    return float(re.match(r"-?[0-9.]+", text)[0])  # type: ignore[index]


def digits(text: str) -> str:
    return text.split()[0]


def row_of(read: Read, table: str, name: str) -> dict[str, str]:
    first = {"Cameras": "camera", "Recorders": "recorder", "Supplies": "supply", "Junctions": "junction"}
    return next(row for row in read.tables[table] if row[first.get(table, "name")] == name)


def run(text: str) -> tuple[float, str]:
    match = re.fullmatch(r"([0-9.]+) m of (\S+)", text)
    assert match, text
    return float(match[1]), match[2]


def loop_ohms(read: Read, way: str) -> float:
    """Both conductors of a run, at the printed temperature."""
    metres, cable = run(way)
    warm = 1 + COPPER * (number(read.tables["Site"][0]["conductor temperature"]) - 20)
    return 2 * metres * number(row_of(read, "Cables", cable)["resistance of one conductor at 20 °C"]) / 1000 * warm


def model(read: Read, name: str) -> dict[str, str]:
    return row_of(read, "Camera models", row_of(read, "Cameras", name)["model"])


def volts(supply: float, watts: float, ohms: float) -> float:
    """The high root of U (S - U) / R = P."""
    inside = supply * supply / 4 - watts * ohms
    return supply / 2 + math.sqrt(inside) if inside >= 0 else 0.0


def trim(read: Read) -> float:
    return number(read.tables["Supplies"][0]["set to"])


def volts_at(read: Read, name: str) -> float:
    camera = row_of(read, "Cameras", name)
    return volts(trim(read), number(model(read, name)["draws by night"]), loop_ohms(read, camera["power run"]))


def supply_amps(read: Read) -> float:
    total = 0.0
    for camera in read.tables["Cameras"]:
        watts = number(model(read, camera["camera"])["draws by night"])
        total += watts / volts_at(read, camera["camera"])
    return total


def longest_run(read: Read, name: str) -> int:
    need, watts = number(model(read, name)["works from"]), number(model(read, name)["draws by night"])
    per_metre = (
        loop_ohms(read, row_of(read, "Cameras", name)["power run"]) / run(row_of(read, "Cameras", name)["power run"])[0]
    )
    best = max(need, trim(read) / 2)
    return math.floor((trim(read) - best) * best / watts / per_metre + 1e-9)


def least_conductor(read: Read, name: str, of: list[str]) -> str:
    metres, _ = run(row_of(read, "Cameras", name)["power run"])
    for cable in of:
        ohms = loop_ohms(read, f"{metres} m of {cable}")
        if volts(trim(read), number(model(read, name)["draws by night"]), ohms) >= number(
            model(read, name)["works from"]
        ):
            return cable
    return ""


def days(read: Read, factor: float = 1.0) -> float:
    """Days that the disks hold, decimal bytes."""
    recorder = read.tables["Recorders"][0]
    disks = [number(row_of(read, "Disk models", disk)["capacity"]) for disk in recorder["disks"].split(", ")]
    share = number(read.tables["Site"][0]["share of a disk left after formatting"]) / 100
    bits = sum(number(camera["recorded at"]) for camera in read.tables["Cameras"]) * factor * 1e6
    return sum(disks) * 1e12 * share * 8 / bits / 86400


def coax_loss(read: Read, name: str, metres: float = 0.0, cable: str = "") -> float:
    camera = row_of(read, "Cameras", name)
    length, own = run(camera["coax"])
    frequency = number(next(value for what, value in read.given.items() if what.startswith("top frequency")))
    points = dict(
        tuple(reversed(piece.removesuffix(" MHz").split(" dB at ")))
        for piece in row_of(read, "Cables", cable or own)["loss a 100 m at 20 °C"].split("; ")
    )
    at = next(value for key, value in points.items() if abs(float(key) - frequency) < 0.01 * frequency)
    warm = 1 + COAX * (number(read.tables["Site"][0]["conductor temperature"]) - 20)
    return float(at) / 100 * (metres or length) * warm


def limit(read: Read) -> float:
    return number(next(value for what, value in read.given.items() if what.startswith("loss that the input")))
