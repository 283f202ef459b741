"""Which kinds of ports may be joined: asks table `port-meetings`, once for each pair of kinds."""

from __future__ import annotations

from coaxwright.reading.tables import Row, load_table

_RIGHT = {
    "camera-video": "name a recorder input, as in `rec1/1`",
    "camera-power": "name a supply output or a junction, as in `psu1/1`",
    "pickup-out": "name a line input of a recorder, as in `rec1/audio1`",
    "serial": "name a serial port, as in `rec1/rs485`",
    "network": "name a network port, as in `sw1/1` or `rec1/net1`",
    "monitor": "name a monitor output of a recorder",
}


class Meetings:
    """Answers per pair of port kinds, remembered. `warns` in the table may stand: rules say more about it."""

    __slots__ = ("_known",)

    def __init__(self) -> None:
        self._known: dict[tuple[str, str], tuple[str, str] | None] = {}

    def against(self, own: str, other: str) -> tuple[str, str] | None:
        """Why a port of kind `own` cannot be joined to one of kind `other` and what would be right; None if
        it may.
        """
        pair = (own, other)
        if pair not in self._known:
            row: Row = load_table("port-meetings").either(own, other)
            self._known[pair] = (row["reason"], _RIGHT[own]) if row["meeting"] == "refused" else None
        return self._known[pair]
