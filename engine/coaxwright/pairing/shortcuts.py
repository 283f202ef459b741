"""Which pictures come to the same although the cameras differ: what settling need not read of them.

Where the signal sent is taken as it comes and no ask is about it, nothing else of the camera counts. Where it is not
taken, only this does: whether some other signal of the camera is surely taken (a setting is needed) or none can ever be
(no picture). All else is left to the whole camera. Only keys are made here: what a key comes to is settled by the facts,
once, for a camera that has it.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, field

from coaxwright.facts.picture.frames import nominal
from coaxwright.facts.picture.settling import asked_about
from coaxwright.facts.picture.signal_cache import SignalCache
from coaxwright.facts.picture.signals import Emitted, Intake, Signal
from coaxwright.pairing.grouping import CameraKind, Numbers

Parts = Iterator[tuple[Hashable, list[int]]]


@dataclass(slots=True)
class Admits:
    """What an input makes of signals of cameras of one maker (empty: of one that it does not name).

    `plain` tells of a signal: True where it is taken as it comes, False where no row takes it, None where an ask may change
    it. `surely` are signals that give a picture whatever the camera, as bits, `ever` those that any row takes.
    """

    surely: int
    ever: int
    plain: dict[int, bool | None] = field(default_factory=dict)


class Shortcuts:
    """Kinds of cameras under one question, parted by what settling reads of them at an input."""

    def __init__(self, memory: SignalCache, kinds: Sequence[CameraKind], sends: Sequence[Emitted]) -> None:
        """`sends` is how each kind is switched."""
        self._kinds, self._bits = kinds, Numbers()
        self._signals: list[Signal] = []
        self._numbers = Numbers()
        self._sent = [self._number(each) for each in sends]
        self._free, self._all = [], []
        for kind in kinds:
            emitter = memory.emitter(kind.camera)
            free = self._set(emitter.signals)
            self._free.append(0 if emitter.ways == () else free)
            self._all.append(free | self._set(emitter.on_request))
        self._groups: dict[frozenset[str], dict[tuple[int | None, str], list[int]]] = {}

    def parted(self, intake: Intake, admits: dict[str, Admits], named: frozenset[str]) -> Parts:
        """Places of kinds that come to one picture on this input, with a key of it; None as key: each for itself.

        `admits` is what was found out of inputs that are equal to this one, `named` the makers that it tells apart.
        """
        for (number, maker), places in self._grouped(named).items():
            if maker not in admits:
                admits[maker] = self._admits(intake, maker)
            mine = admits[maker]
            plain = None if number is None else self._plain(mine, intake, number, maker)
            if plain is None:
                yield None, places
            elif plain:
                yield (number, maker), places
            else:
                yield from self._without(mine, (number, maker), places)

    def _without(self, mine: Admits, key: tuple[int | None, str], places: list[int]) -> Parts:
        """Kinds whose signal is not taken: by what else they can send."""
        never, other, rest = [], [], []
        surely, ever = mine.surely, mine.ever
        for place in places:
            if not self._all[place] & ever:
                never.append(place)
            elif self._free[place] & surely:
                other.append(place)
            else:
                rest.append(place)
        yield (*key, "never"), never
        yield (*key, "other"), other
        yield None, rest

    def _grouped(self, named: frozenset[str]) -> dict[tuple[int | None, str], list[int]]:
        """Places of kinds by the signal that they send and by maker, as far as it is named."""
        if named not in self._groups:
            found: dict[tuple[int | None, str], list[int]] = {}
            for place, (kind, sent) in enumerate(zip(self._kinds, self._sent, strict=True)):
                found.setdefault((sent, kind.maker if kind.maker in named else ""), []).append(place)
            self._groups[named] = found
        return self._groups[named]

    def _number(self, sends: Emitted) -> int | None:
        """The number of the signal that is sent; None where it is not known."""
        if sends.family is None or sends.mode is None or sends.can is False:
            return None
        number = self._numbers.number((sends.family, sends.mode, sends.can))
        if number == len(self._signals):
            self._signals.append(Signal(sends.family, sends.mode))
        return number

    def _plain(self, mine: Admits, intake: Intake, number: int, maker: str) -> bool | None:
        if number not in mine.plain:
            signal = self._signals[number]
            row = intake.takes(signal, maker)
            whole = row is not None and not row.reduced
            mine.plain[number] = None if not whole and asked_about(intake, signal, maker) else row is not None
        return mine.plain[number]

    def _admits(self, intake: Intake, maker: str) -> Admits:
        surely = ever = 0
        for family, mode in intake.rows:
            signal, bit = Signal(family, mode), 1 << self._bits.number((family, mode))
            ever |= bit
            row = intake.takes(signal, maker)
            if row is not None and (not row.reduced or not asked_about(intake, signal, maker)):
                surely |= bit
        return Admits(surely, ever)

    def _set(self, signals: Sequence[Signal]) -> int:
        found = 0
        for each in signals:
            found |= 1 << self._bits.number((each.family, nominal(each.mode)))
        return found
