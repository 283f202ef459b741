"""One small invented world of sheets for the tests of the rule language."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from coaxwright.language.types import (
    Bool,
    Environment,
    FieldSpec,
    Int,
    KindSpec,
    ListOf,
    Num,
    Ref,
    Text,
    Type,
    Unit,
)


class Sheet:
    """A slotted sheet: what is not given is not known."""

    __slots__ = (
        *("sheet", "volts", "amps", "metres", "load", "kind", "joints", "hops", "live", "name", "share"),
        *("modes", "lengths", "counts", "volts_min", "ready", "lamps", "loss", "label", "least", "most"),
        *("grid", "power", "drop", "spare", "blocks_sound"),
    )

    def __init__(self, sheet: str, **fields: object) -> None:
        self.sheet = sheet
        for name, value in fields.items():
            setattr(self, name, value)

    def __repr__(self) -> str:
        return self.sheet


def _num(unit: str = "") -> Num:
    return Num(Unit.parse(unit))


def _kind(kind: str, fields: dict[str, Type]) -> KindSpec:
    return KindSpec(kind, {name: FieldSpec(name, type_, f"the {name}") for name, type_ in fields.items()}, kind)


LOADS = Text(frozenset({"camera", "recorder", "lamp"}))
FEED: dict[str, Type] = {
    "volts": _num("V"),
    "amps": _num("A"),
    "metres": _num("m"),
    "power": _num("W"),
    "drop": _num("V"),
    "load": Ref("load"),
    "spare": Ref("load"),
    "kind": LOADS,
    "joints": Int(),
    "hops": ListOf(Ref("hop")),
    "live": Bool(),
    "name": Text(),
    "share": _num(),
    "modes": ListOf(Text()),
    "lengths": ListOf(_num("m")),
    "counts": ListOf(Int()),
    "grid": ListOf(ListOf(Ref("hop"))),
}
LOAD: dict[str, Type] = {
    "volts_min": _num("V"),
    "name": Text(),
    "ready": Bool(),
    "lamps": Int(),
    "kind": LOADS,
}
HOP: dict[str, Type] = {
    "kind": Text(frozenset({"cable", "box", "joint"})),
    "blocks_sound": Bool(),
    "loss": _num("dB"),
    "label": Text(),
    "metres": _num("m"),
    "load": Ref("load"),
}
LIMIT: dict[str, Type] = {"least": _num("V"), "share": _num(), "most": Int(), "loss": _num("dB")}


@pytest.fixture(scope="session")
def environment() -> Environment:
    kinds = {"feed": FEED, "load": LOAD, "hop": HOP, "limit": LIMIT}
    variables = {"feed": Ref("feed"), "bare": Ref("feed"), "limit": Ref("limit")}
    return Environment({name: _kind(name, fields) for name, fields in kinds.items()}, variables)


@pytest.fixture(scope="session")
def sheets() -> dict[str, object]:
    load = Sheet("load", volts_min=9.0, name="slipway", ready=True, lamps=4, kind="camera")
    hops = (
        Sheet("hop0", kind="cable", blocks_sound=False, loss=2.5, label="a", metres=60.0, load=load),
        Sheet("hop1", kind="box", loss=0.5, label="b", metres=0.0),
        Sheet("hop2", kind="cable", blocks_sound=False, loss=1.5, label="c"),
    )
    feed = Sheet(
        "feed", volts=12.5, amps=0.5, metres=85.0, load=load, kind="camera", joints=3, hops=hops,
        live=True, name="Slip Way é😀", share=0.25, modes=("1280x720", "1920x1080"), lengths=(60.0, 25.0),
        counts=(3, 1, 2), power=6.25, drop=0.0,
    )  # fmt: skip
    limit = Sheet("limit", least=10.0, share=0.1, most=4)
    return {"feed": feed, "bare": Sheet("bare", load=Sheet("idle")), "limit": limit}


@pytest.fixture(scope="session")
def sheet_class() -> type[Sheet]:
    return Sheet


@pytest.fixture(scope="session")
def world(environment: Environment, sheets: dict[str, object]) -> SimpleNamespace:
    return SimpleNamespace(environment=environment, sheets=sheets)
