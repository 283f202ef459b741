"""A printed plan as plain cells: what stands in which row and column, and copies with other cells."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from .paper import Read

Rows = Mapping[str, Mapping[str, str]]


class Missing(Exception):
    """A fact that is needed is not on the paper."""


@dataclass(frozen=True)
class Plan:
    """The tables of a question by title and row; `given` and `stem` go with them."""

    tables: Mapping[str, Rows]
    given: Mapping[str, str]
    stem: str

    def names(self, title: str) -> list[str]:
        """Rows of a table; none where it is not printed."""
        return list(self.tables.get(title, {}))

    def cell(self, title: str, name: str, label: str) -> str | None:
        """What stands there; None for a dash, or where there is no such row or column."""
        text = self.tables.get(title, {}).get(name, {}).get(label, "-")
        return None if text in ("-", "") else text

    def need(self, title: str, name: str, label: str) -> str:
        """What has to stand there. Raises Missing."""
        text = self.cell(title, name, label)
        if text is None:
            raise Missing(f"{title}: {name}: {label}")
        return text

    def put(self, title: str, name: str, label: str, text: str) -> Plan:
        """The plan with another cell, which may be a new one."""
        rows = {**self.tables.get(title, {})}
        rows[name] = {**rows.get(name, {}), label: text}
        return replace(self, tables={**self.tables, title: rows})

    def each(self, title: str, label: str, change: Callable[[str], str]) -> Plan:
        """The plan with a change in every cell of a column in which something stands."""
        plan = self
        for name in self.names(title):
            text = self.cell(title, name, label)
            if text is not None:
                plan = plan.put(title, name, label, change(text))
        return plan

    def the(self, what: str) -> str:
        """The given figure whose label begins like that. Raises Missing."""
        for label, value in self.given.items():
            if label.startswith(what):
                return value
        raise Missing(f"given: {what}")

    # Words that are used again and again

    @property
    def cameras(self) -> list[str]:
        return self.names("Cameras")

    @property
    def recorder(self) -> str:
        (name,) = self.names("Recorders")
        return name

    def camera(self, name: str, label: str) -> str | None:
        return self.cell("Cameras", name, label)

    def model(self, name: str, label: str) -> str | None:
        """A property of the model of a camera."""
        return self.cell("Camera models", self.need("Cameras", name, "model"), label)

    def needed_of_model(self, name: str, label: str) -> str:
        return self.need("Camera models", self.need("Cameras", name, "model"), label)

    def box(self, label: str) -> str | None:
        """A property of the model of the one recorder."""
        return self.cell("Recorder models", self.need("Recorders", self.recorder, "model"), label)

    def needed_of_box(self, label: str) -> str:
        return self.need("Recorder models", self.need("Recorders", self.recorder, "model"), label)

    def site(self, label: str) -> str:
        return self.need("Site", "", label)


def plan_of(read: Read) -> Plan:
    """The plan that a question prints."""
    tables = {}
    for title, rows in read.tables.items():
        first = next(iter(rows[0])) if rows else ""
        tables[title] = {row[first]: {label: text for label, text in row.items() if label != first} for row in rows}
    return Plan(tables, read.given, read.stem)


def number(text: str) -> float:
    """The number at the beginning of a text such as `12.5 fps`."""
    match = re.match(r"-?[0-9]+(\.[0-9]+)?", text)
    if match is None:
        raise ValueError(f"`{text}` begins with no number")
    return float(match[0])


def times(factor: float) -> Callable[[str], str]:
    """A change of a cell: its first number by a factor, the rest as it was."""

    def change(text: str) -> str:
        value = number(text)
        rest = re.sub(r"^-?[0-9]+(\.[0-9]+)?", "", text)
        return f"{value * factor:.12f}{rest}"

    return change


@dataclass(frozen=True)
class Piece:
    """A run or an in-line box of a way."""

    metres: float | None
    cable: str | None
    joints: int = 0
    setting: str | None = None
    box: str | None = None


_RUN = re.compile(r"(length not given|[0-9.]+ m) of (cable not given|[^ ()]+)(?: \(([^()]*)\))?")


def pieces(text: str) -> list[Piece]:
    """The pieces of a way as printed: `40 m of video-6mm (2 joints), then box iso1`."""
    return [_piece(part) for part in text.split(", then ")]


def _piece(text: str) -> Piece:
    if text.startswith("box "):
        return Piece(None, None, box=text[4:])
    match = _RUN.fullmatch(text)
    if match is None:
        raise ValueError(f"`{text}` is no run")
    notes = match[3].split(", ") if match[3] else []
    joints = sum(int(note.split()[0]) for note in notes if note.endswith("joints"))
    setting = next((note for note in notes if not note.endswith("joints")), None)
    metres = None if "not given" in match[1] else number(match[1])
    return Piece(metres, None if "not given" in match[2] else match[2], joints, setting)


def stretched(factor: float) -> Callable[[str], str]:
    """A change of a way: every length by a factor."""

    def change(text: str) -> str:
        return re.sub(r"([0-9.]+) m of", lambda match: f"{float(match[1]) * factor:.9f} m of", text)

    return change


def relaid(cable: str) -> Callable[[str], str]:
    """A change of a way: its first run of another cable."""
    return lambda text: re.sub(r"m of [^ ()]+", f"m of {cable}", text, count=1)


def with_length(metres: float) -> Callable[[str], str]:
    """A change of a way: its first run of another length."""
    return lambda text: re.sub(r"[0-9.]+ m of", f"{metres:g} m of", text, count=1)


def port(text: str) -> tuple[str, str]:
    """Device and number of `rec1/3`."""
    device, _, rest = text.partition("/")
    return device, rest


def numbers_in(text: str) -> set[int]:
    """The numbers of `1-8`, `1-4, 6` or `3`; none for `none`."""
    found: set[int] = set()
    for part in text.split(", ") if text != "none" else []:
        low, _, high = part.partition("-")
        found |= set(range(int(low), int(high or low) + 1))
    return found
