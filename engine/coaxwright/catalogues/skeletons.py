"""A part to be filled in: every field of its kind with unit, meaning, and where a datasheet usually states it.

Made from the models, so it cannot lack a field. What must be written stands with an example; all else is a
comment that becomes a field when its `# ` is taken away. Lines with `##` only explain.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from coaxwright.model.common import FrameSize, VideoMode
from coaxwright.model.parts import PART_KINDS
from coaxwright.model.quantities import Kind
from coaxwright.reading.tables import load_table

_SKIPPED = ("kind",)
_EXAMPLES = {
    "family": "tvi",
    "derating": "[[50, 1], [60, 0.6]]",
    "battery_cold": "[[0, 0.8], [25, 1]]",
    "battery_curve": "[[0, 12.6], [1, 10.5]]",
    "aliases": "[HB-4, HB4-W]",
    "articles": "['104-22-5', '104-22-6']",
    "retired_since": "2026-06-30",
    "successor": "own-maker/newer-name",
    "price_date": "2026-10-01",
    "pieces": "10",
    "read": "[]",
    "facts": "[title]",
    "datasheet": "NAME",
    "revision": "C",
    "date": "2026-03-01",
    "firmware_from": "'2.1'",
    "firmware_to": "'3.0'",
    "title": "What it is, in a few words",
    "source": "datasheet NAME, revision",
    "maker": "own-maker",
    "currency": "EUR",
    "ip": "IP67",
    "ik": "IK08",
    "plug": "barrel 5.5/2.1 mm centre positive",
    "part": "rg59-copper",
    "attenuation": "[[1, 1.2], [10, 3.6], [100, 11.5], [1000, 39]]",
    "remarks": "what fits no field",
    "fire_class": "as printed on the sheath",
    "connector": "hdmi",
    "connectors": "[hdmi]",
    "settings": "[name-of-a-setting]",
    "protocols": "[name-of-a-protocol]",
    "after": "name-of-a-setting",
}
"""Examples of texts, by field; everything else takes its example from its kind."""


def skeleton(kind: str, part_id: str) -> str:
    """The text of a part file with one entry of that kind. KeyError for a kind that is none."""
    model = PART_KINDS[kind]
    head = [
        f"## A {kind}. Fill in what the datasheet states and nothing else: what is left out stays open, which is honest.",
        "## Take away `# ` before a field to use it, with the `# ` of the group that it stands in. Delete the rest.",
        "parts:",
        f"  {part_id}:",
        f"    kind: {kind}",
    ]
    return "\n".join([*head, *_fields(model, 4, "", required_here=True)]) + "\n"


def _fields(model: type[BaseModel], indent: int, path: str, *, required_here: bool) -> Iterator[str]:
    """Lines of all fields of a model: those that must be written, then what datasheets print first; rarely printed ones last."""
    names = [name for name in model.model_fields if name not in _SKIPPED]
    headed = ""
    for name in sorted(names, key=lambda each: (not _needed(model, each), _SECTIONS.index(printed(f"{path}{each}")))):
        section = printed(f"{path}{name}")
        if not path and section != headed and not _needed(model, name):
            yield f"{' ' * indent}## ---- {_HEADINGS[section]}"
            headed = section
        field = model.model_fields[name]
        yield from _field(field, name, indent, f"{path}{name}", written=required_here and _needed(model, name))


_HEADINGS = {
    "first": "What most datasheets print",
    "some": "What some datasheets and manuals print",
    "rare": "Rarely printed: ask the maker, measure, or leave it open",
    "elsewhere": "From price lists, product notices and your own warehouse",
}
_SECTIONS = tuple(_HEADINGS)


def printed(path: str) -> str:
    """How usual it is that a datasheet prints a field: `first`, `some`, `rare`, or `elsewhere`."""
    row = _order(path)
    return "some" if row is None else str(row["printed"])


def _order(path: str) -> Mapping[str, Any] | None:
    table = load_table("datasheet-order")
    return table.get(path) or table.get(path.rpartition("/")[2])


def _needed(model: type[BaseModel], name: str) -> bool:
    """Whether an entry without it is refused; a camera must say what it sends."""
    return model.model_fields[name].is_required() or name == "emits"


def _field(field: FieldInfo, name: str, indent: int, path: str, *, written: bool) -> Iterator[str]:
    space = " " * indent
    mark = "" if written else "# "
    yield f"{space}## {_explained(field, path)}"
    inner = _models(field.annotation)
    if not inner:
        yield f"{space}{mark}{name}: {_example(field, name)}"
        return
    several = _is_list(field.annotation)
    yield f"{space}{mark}{name}:"
    lines = list(_fields(inner[0], indent + (4 if several else 2), f"{path}/", required_here=written))
    yield from _as_item(lines, indent + 2) if several else lines


def _as_item(lines: Sequence[str], indent: int) -> Iterator[str]:
    """Lines of one item of a list: the first field, used or not, bears the hyphen."""
    done = False
    for line in lines:
        body = line.lstrip(" ")
        if not done and not body.startswith("##"):
            done = True
            mark = "# " if body.startswith("# ") else ""
            yield f"{' ' * indent}{mark}- {body.removeprefix('# ')}"
        else:
            yield line


def _explained(field: FieldInfo, path: str) -> str:
    """What a field means, its units or choices, and where a datasheet states it."""
    said = [(field.description or path.rpartition("/")[2].replace("_", " ")).rstrip(".").replace("\n", " ")]
    kind = _kind(field)
    if kind is not None:
        said.append(f"units: {', '.join(kind.spellings)}")
    choices = _choices(field.annotation)
    if choices:
        said.append(f"one of: {', '.join(str(each) for each in choices)}")
    row = _order(path)
    if row is not None and row["printed"] == "rare":
        said.append(f"rarely printed; without it stays open: {row['leaves']}")
    return "; ".join([*said, f"datasheet: {datasheet_place(path)}"])


def datasheet_place(path: str) -> str:
    """Where a datasheet usually states a field: by its path, its last word, or the groups around it."""
    table = load_table("datasheet-places")
    steps = path.split("/")
    for candidate in (path, steps[-1], *reversed(steps[:-1])):
        row = table.get(candidate)
        if row is not None:
            return str(row["place"])
    return "specification table"


# What a field takes


def _kind(field: FieldInfo) -> Kind | None:
    """The kind of quantity of a field, where it is one."""
    return next(_kinds(field.annotation, field.metadata), None)


def _kinds(annotation: object, metadata: Sequence[Any] = ()) -> Iterator[Kind]:
    yield from (each for each in metadata if isinstance(each, Kind))
    if typing.get_origin(annotation) is typing.Annotated:
        first, *rest = typing.get_args(annotation)
        yield from _kinds(first, rest)
        return
    for inner in typing.get_args(annotation):
        yield from _kinds(inner)


def _choices(annotation: object) -> tuple[Any, ...]:
    if typing.get_origin(annotation) is typing.Literal:
        return typing.get_args(annotation)
    for inner in typing.get_args(annotation):
        found = _choices(inner)
        if found:
            return found
    return ()


def _models(annotation: object) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [found for inner in typing.get_args(annotation) for found in _models(inner)]


def _is_list(annotation: object) -> bool:
    """Whether entries stand in a list; where one entry may stand alone, it does."""
    origin = typing.get_origin(annotation)
    if origin in (tuple, list):
        return True
    if origin in (types.UnionType, typing.Union):
        inner = [each for each in typing.get_args(annotation) if each is not type(None)]
        return all(_is_list(each) for each in inner)
    return origin is typing.Annotated and _is_list(typing.get_args(annotation)[0])


def _flat(annotation: object) -> set[Any]:
    """Every type that an annotation is made of."""
    found = {annotation} if isinstance(annotation, type) else set()
    for inner in typing.get_args(annotation):
        if not isinstance(inner, str | int | float):
            found |= _flat(inner)
    return found


def _example(field: FieldInfo, name: str) -> str:
    """A value that the field takes."""
    if name in _EXAMPLES:
        return _EXAMPLES[name]
    kind, choices = _kind(field), _choices(field.annotation)
    one = kind.examples[0] if kind else _word(choices[0]) if choices else _plain(field, name)
    listed = _is_list(field.annotation) and not {VideoMode, FrameSize} & _flat(field.annotation)
    return f"[{one}]" if listed and not _is_channels(name) else one


def _word(choice: object) -> str:
    """A choice as a file writes it."""
    return str(choice).lower() if isinstance(choice, bool) else str(choice)


def _is_channels(name: str) -> bool:
    return name in ("channels", "coax_channels", "sorted_motion")


def _plain(field: FieldInfo, name: str) -> str:
    found = _flat(field.annotation)
    for kind, example in ((VideoMode, "1920x1080@25"), (FrameSize, "1920x1080"), (bool, "true")):
        if kind in found:
            return example
    if _is_channels(name):
        return "1-8"
    return "1" if found & {int, float} else "text"
