"""What a model expects at the place of an error: its keys, or the kind of value."""

from __future__ import annotations

import types
from collections.abc import Sequence
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from coaxwright.immutable import immutable
from coaxwright.model.quantities import Kind
from coaxwright.model.site import WANTED


@immutable
class Expected:
    """What is wanted at one place: `keys` of the group around it, an `example` of the value if known."""

    keys: tuple[str, ...] = ()
    example: str = ""


def expected_at(model: type[BaseModel], steps: Sequence[str | int]) -> Expected:
    """What the model wants where these steps (an error's location) lead."""
    here: Any = model
    keys: tuple[str, ...] = ()
    for step in steps:
        here = _choice(_bare(here), step)
        if isinstance(here, type) and issubclass(here, BaseModel):
            keys = field_names(here)
            field = _field(here, step)
            if field is None:
                continue
            here = field.annotation if not field.metadata else Annotated[field.annotation, *field.metadata]
        elif get_origin(here) is dict:
            here = get_args(here)[1]
        elif get_origin(here) in (tuple, list) and isinstance(step, int):
            here = get_args(here)[0]
    return Expected(keys, _example(here))


def field_names(model: type[BaseModel]) -> tuple[str, ...]:
    """The keys of a model as they are written."""
    return tuple(written for name, field in model.model_fields.items() if (written := field.alias or name) != WANTED)


def _field(model: type[BaseModel], step: str | int) -> FieldInfo | None:
    for name, field in model.model_fields.items():
        if step == (field.alias or name):
            return field
    return None


def _bare(annotation: object) -> object:
    """Without `Annotated` and without `None` beside it."""
    while get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in (Union, types.UnionType):
        branches = [branch for branch in get_args(annotation) if branch is not type(None)]
        return _bare(branches[0]) if len(branches) == 1 else annotation
    return annotation


def _choice(annotation: object, step: str | int) -> object:
    """Of a choice of models the one whose `kind` is this step; of other choices the list, for an index."""
    if get_origin(annotation) not in (Union, types.UnionType):
        return annotation
    branches = [_bare(branch) for branch in get_args(annotation)]
    for branch in branches:
        if isinstance(branch, type) and issubclass(branch, BaseModel) and step in _kinds(branch):
            return branch
        if isinstance(step, int) and get_origin(branch) in (tuple, list):
            return branch
    return annotation


def _kinds(model: type[BaseModel]) -> tuple[Any, ...]:
    field = model.model_fields.get("kind")
    annotation = field.annotation if field else None
    return get_args(annotation) if get_origin(annotation) is Literal else ()


def _example(annotation: object) -> str:
    """How a value is written, where the annotation holds a kind of quantity or a schema with examples."""
    pending = [annotation]
    while pending:
        each = pending.pop()
        if isinstance(each, Kind):
            return each.examples[0]
        schema = getattr(each, "json_schema", None)
        if isinstance(schema, dict) and schema.get("examples"):
            return str(schema["examples"][0])
        if get_origin(each) in (Annotated, Union, types.UnionType):
            pending.extend(reversed((*get_args(each), *getattr(each, "__metadata__", ()))))
    return ""
