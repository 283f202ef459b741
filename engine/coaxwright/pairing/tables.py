"""Cameras against recorders: one settled outcome a pair, equal questions answered once.

Which parts are meant is a glob over ids and conditions on what parts state. Not here: printing.
"""

from __future__ import annotations

import fnmatch
from array import array
from collections.abc import Iterable

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.makers import maker_of
from coaxwright.immutable import immutable
from coaxwright.pairing.assembly import Assembly
from coaxwright.pairing.cells import Cell, Clerk
from coaxwright.pairing.grouping import kinds_of, signals_of
from coaxwright.pairing.names import known
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.suggest import did_you_mean


@immutable
class Table:
    """Outcomes of every camera with every recorder.

    `cells` holds each different outcome once; `columns[r][k]` is its number there for the recorder r and a camera
    of kind k, and `kind_of` gives the kinds in the order of `cameras`.
    """

    cameras: list[str]
    recorders: list[str]
    cells: list[Cell]
    columns: list[array[int]]
    kind_of: list[int]

    def cell(self, camera: int, recorder: int) -> Cell:
        """The outcome of the camera and the recorder at these places."""
        return self.cells[self.columns[recorder][self.kind_of[camera]]]

    def row(self, kind: int) -> list[int]:
        """Cell numbers of one kind of camera on every recorder."""
        return [column[kind] for column in self.columns]

    @property
    def size(self) -> int:
        """How many pairs."""
        return len(self.cameras) * len(self.recorders)


def matching(catalogue: Catalogue, pattern: str, kind: str) -> list[str]:
    """Ids of parts of that kind that a glob names, sorted. Raises Refusal where it names none."""
    names = [name for name in catalogue.ids(kind) if kind != "camera" or catalogue.part(name).emits]
    found = [name for name in names if fnmatch.fnmatchcase(name, pattern)]
    if not found:
        near = did_you_mean(pattern, names) or f"`coaxwright parts list --kind {kind}` lists them"
        raise Refusal([Problem(pattern, f"names no {kind}", near)])
    return found


MOST_PIECES = 1024


def is_several(text: str) -> bool:
    """Whether a call may name more than one part: a glob, a list with commas, or a number of pieces."""
    return any(sign in text for sign in "*?[,:")


def named(catalogue: Catalogue, text: str, kind: str) -> list[str]:
    """Parts that a list names, in its order: ids and globs with commas between, `:4` behind one for four of each.

    Cameras come as often as there are pieces; a recorder comes once. Raises Refusal.
    """
    found: list[str] = []
    for piece in filter(None, (each.strip() for each in text.split(","))):
        pattern, _, count = piece.partition(":")
        glob = any(sign in pattern for sign in "*?[")
        names = matching(catalogue, pattern, kind) if glob else [known(catalogue, pattern, kind)]
        found += [name for name in names for _ in range(_pieces(piece, count, kind))]
    if not found:
        raise Refusal([Problem(text, f"names no {kind}", "write ids or globs with commas between")])
    return found if kind == "camera" else list(dict.fromkeys(found))


def _pieces(piece: str, count: str, kind: str) -> int:
    if not count and ":" not in piece:
        return 1
    if kind != "camera":
        raise Refusal([Problem(piece, "a number of pieces is for cameras", f"name the {kind} alone")])
    if not (count.isascii() and count.isdecimal() and 1 <= int(count[:6]) <= MOST_PIECES):
        raise Refusal([Problem(piece, "is no number of pieces", f"write 1 to {MOST_PIECES}, as in fennick/turret-5:4")])
    return int(count)


def refuse_what_no_recorder_has(clerk: Clerk, recorders: list[str], question: Question) -> None:
    """Inputs, channels and settings asked about must be there on every recorder of a table: none is left out silently.

    Raises Refusal with the recorders that lack it.
    """
    lacking: dict[str, list[str]] = {}
    for name in recorders:
        desk = clerk.desk(name)
        if question.number is not None and question.number not in desk.group_of:
            lacking.setdefault(f"there is no input {question.number}", []).append(name)
        if question.channels is not None and question.channels > len(desk.group_of):
            lacking.setdefault(f"{question.channels} channels cannot be in use", []).append(name)
        settings = {*desk.part.settings, *(row.after for group in desk.part.inputs for row in group.accepts)}
        for made in question.made:
            if made not in settings:
                lacking.setdefault(f"there is no setting `{made}`", []).append(name)
    problems = [
        Problem(", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else ""), what, _LEAVE_OUT)
        for what, names in lacking.items()
    ]
    if problems:
        raise Refusal(problems)


_LEAVE_OUT = "name recorders that have it, or leave others out as with --where 'recorder.channels>=16'"


def tabulate(clerk: Clerk, cameras: list[str], recorders: list[str], question: Question) -> Table:
    """The table of these cameras and recorders; every part is looked at once, every question asked once."""
    part = clerk.catalogue.part
    kinds = kinds_of((name, part(name)) for name in cameras)
    assembly = Assembly(clerk, question, kinds.kinds)
    columns = []
    for recorder in pace.counted(recorders, "recorders"):
        columns.append(assembly.column(recorder))
        clerk.forget(recorder)
    return Table(cameras, recorders, assembly.cells, columns, kinds.of)


# Conditions


@immutable
class Condition:
    """One condition on parts, as in `price<=80`: facet, comparison, value."""

    facet: str
    comparison: str
    value: str


FACETS = {
    "camera": (
        "maker", "price", "megapixels", "family", "sound", "rated", "retired", "stock", "lead_time", "warranty", "moves",
        "lamp", "lamp_range", "ip", "ik", "focal", "volts", "volts_min", "volts_max",
    ),
    "recorder": (
        "maker", "price", "channels", "bays", "family", "retired", "stock", "lead_time", "warranty", "line_inputs",
        "network_cameras",
    ),
}
_COMPARISONS = ("<=", ">=", "!=", "=", "<", ">")


def parse_condition(text: str) -> Condition:
    """A condition as written. Raises Refusal."""
    for sign in _COMPARISONS:
        facet, found, value = text.partition(sign)
        if found and facet.strip() and value.strip():
            return _known_facet(Condition(facet.strip(), sign, value.strip()), text)
    raise Refusal([Problem(text, "is no condition", "write one as in 'price<=80' or 'recorder.channels>=8'")])


def _known_facet(condition: Condition, text: str) -> Condition:
    names = [*FACETS["camera"], *FACETS["recorder"]]
    side, _, facet = condition.facet.rpartition(".")
    if facet not in names or side not in ("", "camera", "recorder") or (side and facet not in FACETS[side]):
        listed = ", ".join(dict.fromkeys(names))
        raise Refusal(
            [Problem(text, f"there is no `{condition.facet}` to ask for", did_you_mean(facet, names) or listed)]
        )
    return condition


def kept(catalogue: Catalogue, names: Iterable[str], kind: str, conditions: Iterable[Condition]) -> list[str]:
    """Those parts that meet every condition about their kind; a part that does not state the facet does not."""
    asked = [each for each in conditions if _about(each, kind)]
    return [name for name in names if all(_meets(catalogue, name, kind, each) for each in asked)]


def _about(condition: Condition, kind: str) -> bool:
    side, _, facet = condition.facet.rpartition(".")
    return facet in FACETS[kind] and side in ("", kind)


def _meets(catalogue: Catalogue, name: str, kind: str, condition: Condition) -> bool:
    value = _facet(catalogue, name, kind, condition.facet.rpartition(".")[2])
    if value is None:
        return False
    if isinstance(value, tuple | str) and condition.comparison not in ("=", "!="):
        what = f"`{condition.facet}` is a word, which is neither more nor less than another"
        raise Refusal([Problem(condition.facet, what, f"write {condition.facet}={condition.value}")])
    if isinstance(value, tuple):
        return (condition.value.lower() in value) == (condition.comparison != "!=")
    if isinstance(value, str):
        return (condition.value.lower() == value) == (condition.comparison != "!=")
    return _compare(value, condition)


def _compare(value: float, condition: Condition) -> bool:
    try:
        limit = float(condition.value)
    except ValueError:
        what = f"`{condition.value}` is no number to compare `{condition.facet}` with"
        raise Refusal([Problem(condition.facet, what)]) from None
    return {
        "<=": value <= limit, ">=": value >= limit, "<": value < limit,
        ">": value > limit, "=": value == limit, "!=": value != limit,
    }[condition.comparison]  # fmt: skip


def _facet(catalogue: Catalogue, name: str, kind: str, facet: str) -> tuple[str, ...] | str | float | None:
    part = catalogue.part(name)
    if facet == "maker":
        return maker_of(name, part)
    if facet == "retired":
        return "yes" if part.retired else "no"
    if facet in ("price", "bays", "stock"):
        value: float | None = getattr(part, facet)
        return value
    if facet in ("lead_time", "warranty"):
        stated: float | None = part.lead_time if facet == "lead_time" else part.warranty_years
        return None if stated is None else float(stated)
    return _camera_facet(part, facet) if kind == "camera" else _recorder_facet(name, part, facet)


def _camera_facet(part: object, facet: str) -> tuple[str, ...] | str | float | None:
    from coaxwright.model.camera_parts import CameraPart

    assert isinstance(part, CameraPart)
    signals = signals_of(part)
    if facet == "megapixels":
        return round(max(one.mode.width * one.mode.height for one in signals) / 1e6, 1)
    if facet == "family":
        return tuple(dict.fromkeys(one.family for one in signals))
    if facet == "sound":
        return None if part.sound is None else "yes" if part.sound.microphone else "no"
    return _stated(part, facet)


_STATED = {
    "rated": ("housing", "rated"), "ip": ("housing", "ip"), "ik": ("housing", "ik"), "lamp": ("night", "lamp"),
    "lamp_range": ("night", "lamp_range"), "moves": ("control", "moves"), "focal": ("optics", "focal_min"),
    "volts": ("power", "volts"), "volts_min": ("power", "volts_min"), "volts_max": ("power", "volts_max"),
}  # fmt: skip
"""Words of conditions that are fields: group and field."""


def _stated(part: object, facet: str) -> tuple[str, ...] | str | float | None:
    """A field as it is stated: words in small letters, a yes or no, a number in the unit of its kind (m, mm, V).

    Of a double marking (`IP66/IP67`) each counts by itself, and both together.
    """
    group, name = _STATED[facet]
    value = getattr(getattr(part, group), name, None)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        markings = value.lower().split("/") if facet == "ip" else ()
        return (value.lower(), *markings) if len(markings) > 1 else value.lower()
    return None if value is None else float(value)


def _recorder_facet(name: str, part: object, facet: str) -> tuple[str, ...] | str | float | None:
    from coaxwright.facts.picture.signal_cache import Desk
    from coaxwright.model.recorder_parts import RecorderPart

    assert isinstance(part, RecorderPart)
    if facet == "line_inputs":
        return part.sound.line_inputs if part.sound else None
    if facet == "network_cameras":
        return part.network.cameras if part.network else None
    desk = Desk.of(name, part, ())
    if facet == "channels":
        return len(desk.group_of)
    return tuple(dict.fromkeys(family for intake in desk.intakes for family in intake.families))
