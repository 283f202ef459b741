"""Values of facts and findings as plain JSON data. Knows no format."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from enum import Enum
from pathlib import Path
from typing import Any


def plain(value: object) -> Any:
    """Return `value` as JSON data: records become objects, sets sorted lists, a number that is none null.

    TypeError for anything else, so that a new kind of value is noticed and not printed as its Python form.
    """
    if isinstance(value, Enum):
        return plain(value.value)
    if value is None or isinstance(value, bool | str | int):
        return value
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, Path):
        return value.as_posix()
    return _compound(value)


def _compound(value: object) -> Any:
    if isinstance(value, Mapping):
        return {str(name): plain(each) for name, each in value.items()}
    if isinstance(value, set | frozenset):
        return sorted(plain(each) for each in value)
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    raise TypeError(f"a {type(value).__name__} has no JSON form")
