"""Plain data as JSON text: ASCII, so that every locale gives the same bytes."""

from __future__ import annotations

import json

FORMAT = 2
"""The number that every JSON object of a command carries under `format`; keys are added under it, never taken away."""


def to_json(data: object) -> str:
    """Two-space ASCII JSON without NaN, ending in a newline; DEL, which terminals obey, is escaped too."""
    return json.dumps(data, indent=2, allow_nan=False).replace("\x7f", "\\u007f") + "\n"
