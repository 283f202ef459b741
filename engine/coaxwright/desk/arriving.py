"""Files as they arrive from the page: a name and base 64; laid into a folder for the moment where a reader wants a path."""

from __future__ import annotations

import base64
import binascii
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.workspace.protocol import BadRequest


def only_file(request: Mapping[str, Any]) -> Mapping[str, Any]:
    """The file that a request brings. Raises BadRequest where there is none."""
    files = request.get("files")
    file = files[0] if isinstance(files, list) and files else None
    if not isinstance(file, dict):
        raise BadRequest("`files` has to be a list with one file")
    return file


def name_of(file: object, what: str = "") -> str:
    """The name of something that is a file. Raises Refusal, about `what`, where it is none."""
    if not isinstance(file, dict) or not isinstance(file.get("name"), str) or not isinstance(file.get("base64"), str):
        raise Refusal([Problem(what, "this is no file", "choose it again")])
    return str(file["name"])


def decoded(name: str, encoded: str) -> bytes:
    """What a file holds. Raises Refusal where it did not arrive whole."""
    try:
        return base64.b64decode(encoded, validate=True)
    except (ValueError, binascii.Error) as error:
        raise Refusal([Problem(name, "did not arrive whole", "choose it again")]) from error


@contextmanager
def folder_for_now() -> Iterator[Path]:
    """A folder that is there within the block; a Refusal that leaves it says nothing of the folder."""
    with tempfile.TemporaryDirectory() as folder:
        try:
            yield Path(folder)
        except Refusal as refusal:
            problems = [replace(each, file=each.file.replace(f"{folder}/", "")) for each in refusal.problems]
            raise Refusal(problems) from refusal
