"""The desk within a page: what the worker begins with, and what the first verdict there has loaded."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from types import CodeType
from typing import Any

from coaxwright.desk.ears import Inside
from coaxwright.desk.session import Session
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

SITES = "/sites"


def asker(tell: Callable[[str], None], dropped: Callable[[], bool], moment: Callable[[], None]) -> Callable[[str], str]:
    """A desk on an empty folder: what answers the text of a request.

    `tell` takes words on how far the work is, `dropped` says whether the page has taken its question back, `moment` lets
    the worker hear what came meanwhile.
    """
    os.makedirs(SITES, exist_ok=True)

    def taken_back() -> bool:
        moment()
        return dropped()

    desk = Session(Workspace(FolderStore(Path(SITES))), inside=Inside(tell, taken_back))

    def asked(body: str) -> str:
        return desk.replied(body.encode()).decode()

    return asked


def moment(can_wait: Callable[[], bool], wait: Callable[[Any], Any], pause: Callable[[], Any]) -> Callable[[], None]:
    """What waits for the promise of a `pause`, where the browser lets a running engine wait at all."""

    def waited() -> None:
        if can_wait():
            wait(pause())

    return waited


def loaded_for_a_verdict() -> bytes:
    """The bytecode of every module that the first verdict has loaded, as a parcel named by their places.

    To be called within the runtime that it is for. Where a fault would stand in the text is left out: nobody there reads
    it, and it is a third of the bytes.
    """
    import json
    import sys

    from coaxwright.desk.parcel import packed

    asked = asker(lambda words: None, lambda: False, lambda: None)
    for do in ("look", "example"):
        assert json.loads(asked(json.dumps({"do": do, "view": {}})))["ok"], do
    places = {str(getattr(module, "__file__", None) or "") for module in list(sys.modules.values())}
    return packed({f"{place}c": _bytecode(place) for place in places if place.endswith(".py")})


def _bytecode(place: str) -> bytes:
    """As the importer takes it without looking at the source (PEP 552, unchecked)."""
    import marshal
    from importlib.util import MAGIC_NUMBER, source_hash

    source = _source(place)
    code = _bare(compile(source, place.rpartition("/")[2], "exec", dont_inherit=True))
    return MAGIC_NUMBER + (1).to_bytes(4, "little") + source_hash(source) + marshal.dumps(code)


def _source(place: str) -> bytes:
    archive, inside, _ = place.partition(".zip/")
    if not inside:
        return Path(place).read_bytes()
    from zipimport import zipimporter

    return zipimporter(f"{archive}.zip").get_data(place)


def _bare(code: CodeType) -> CodeType:
    """The code without lines and columns: its table says of every eight units that no place is known (PEP 626)."""
    units = len(code.co_code) // 2
    nowhere = b"\xff" * (units // 8) + (bytes((0xF8 + units % 8 - 1,)) if units % 8 else b"")
    inner = tuple(_bare(each) if isinstance(each, type(code)) else each for each in code.co_consts)
    return code.replace(co_linetable=nowhere, co_consts=inner)
