"""How far each number of a subject can move before a rule fails, found by judging the site again and again.

A number is looked at on a grid of written values and then halved in between; nothing is assumed about how a
rule depends on it. What is told holds for every value that was tried, and the range ends at the first one
that fails. A value that the site file does not write is not varied.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.components import GROUPS, Entry, model_of
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Patch, replace_or_add, value_at
from coaxwright.fixes.proving import LEVELS, Key, difference
from coaxwright.fixes.rejudging import SiteState, Trial
from coaxwright.fixes.standard_sizes import conductors, disks
from coaxwright.model.quantities import format_quantity
from coaxwright.reading.suggest import did_you_mean

Steps = tuple[str | int, ...]
GRID = 24
"""Values looked at on each side before halving."""


@dataclass(frozen=True)
class Number:
    """A number that the site file writes: where, how it is told, its unit, its step, and how far it may go."""

    path: Steps
    name: str
    unit: str
    value: float
    step: float
    least: float
    most: float
    of_part: bool = False

    def patch(self, state: SiteState, value: float) -> Patch:
        """The edit that sets the number; a load of a part is set on a copy of the part, lent to the catalogue."""
        if not self.of_part:
            return [replace_or_add(state.value, self.path, self.written(value))]
        return [replace_or_add(state.value, self.path, lent_load(state, self.path, value))]

    def written(self, value: float) -> Any:
        """The value as the site file writes it: counts without a unit."""
        rounded = round(value / self.step) * self.step
        return round(rounded) if not self.unit else f"{rounded:.10g} {_SPELLED.get(self.unit, self.unit)}"

    def told(self, value: float) -> str:
        """The value in words."""
        return format_quantity(round(value / self.step) * self.step, self.unit)


_SPELLED = {"d": "days", "degC": "°C", "%": "%"}


@dataclass(frozen=True)
class End:
    """One end of the range of a number: the last value that holds and the first that does not (None where all
    that was tried hold), with the rules that fail first. `again` is a value beyond at which all holds again.
    """

    holds: float
    fails: float | None
    rules: tuple[Key, ...]
    again: float | None = None


@dataclass(frozen=True)
class Limit:
    """The range of one number. Where the value as written fails already, `now` names the rules."""

    number: Number
    now: tuple[Key, ...]
    down: End
    up: End


@dataclass(frozen=True)
class Smallest:
    """The smallest standard size that holds: what it is of, the part, its size, and the present part's."""

    name: str
    part: str
    size: str
    now: str


def limits_of(state: SiteState, subject: str, level: str = "error") -> tuple[list[Limit], list[Smallest]]:
    """Ranges of all numbers of a subject, and smallest standard sizes. Raises Refusal for no such subject."""
    numbers = list(numbers_of(state, subject))
    parts = state.basis.loaded.catalogue.parts
    there = set(parts)
    try:
        ranges = [_Walk(state, number, level).limit() for number in pace.counted(numbers, "numbers looked into")]
    finally:
        for name in set(parts) - there:
            del parts[name]
    return ranges, list(smallest_sizes(state, subject, level))


def numbers_of(state: SiteState, subject: str) -> Iterator[Number]:
    """The numbers that the file writes for a subject: the site, or an entry. Raises Refusal for another."""
    if subject == "site":
        yield from _numbers((), state.site, _OF_SITE, state.value)
        return
    entry = entry_of(subject)
    model = model_of(state.site, entry) if entry[0] in GROUPS and subject.count("/") == 1 else None
    if model is None:
        names = [f"{group}/{name}" for group in GROUPS for name in getattr(state.site, group)]
        right = did_you_mean(subject, names) or "name an entry of the site file, as in `cameras/slipway`, or `site`"
        raise Refusal([Problem(state.basis.loaded.file, f"there is no `{subject}` here", right)])
    yield from _numbers(entry, model, _OF_ENTRY[entry[0]], state.value)
    yield from _load(state, entry, model)
    for use in ("video", "network", "power", "sound", "control"):
        yield from _lengths(entry, getattr(model, use, None), use)


def _load(state: SiteState, entry: Entry, model: Any) -> Iterator[Number]:
    """What a camera draws by night, where its part states it: room for another camera, or for a lamp."""
    part = state.basis.loaded.catalogue.part(model.part) if entry[0] == "cameras" and model.power else None
    if part is not None and part.power is not None and part.power.watts_night is not None:
        watts = part.power.watts_night
        yield Number((*entry, "part"), "load by night", "W", watts, 0.1, 0.1, 20 * watts, of_part=True)


def lent_load(state: SiteState, path: Steps, watts: float) -> str:
    """A copy of the part named at a path that draws so many watts by night, put into the catalogue for trials.

    Its id begins like the part's, so that the maker stays the same. `limits_of` takes it out again.
    """
    catalogue = state.basis.loaded.catalogue
    own = catalogue.full_id(value_at(state.value, path))
    part = catalogue.part(own)
    name = f"{own}{_LENT}{round(watts, 1):g}"
    power = part.power.model_copy(update={"watts_night": round(watts, 1)})
    catalogue.parts.setdefault(name, part.model_copy(update={"power": power}))
    return name


_LENT = "-drawing-"


def _lengths(entry: Entry, way: Any, use: str) -> Iterator[Number]:
    hops = [(index, hop) for index, hop in enumerate(way.over or ()) if hop.length is not None] if way else []
    for index, hop in hops:
        name = f"{use} length" if len(hops) == 1 else f"{use} length, piece {index + 1}"
        path = (*entry, use, "over", index, "length")
        yield Number(path, name, "m", hop.length, 1.0, 1.0, max(1000.0, 4 * hop.length))


_Row = tuple[Steps, str, str, float, float, float]
_OF_SITE: tuple[_Row, ...] = ((("retention",), "retention", "d", 1.0, 1.0, 365.0),)
_OF_CAMERA: tuple[_Row, ...] = (
    (("wants", "rate"), "rate wanted", "fps", 0.5, 0.5, 60.0),
    (("wants", "retention"), "retention wanted", "d", 1.0, 1.0, 365.0),
    (("wants", "at"), "distance at which it has to see", "m", 0.5, 0.5, 200.0),
    (("wants", "width"), "scene width wanted", "m", 0.5, 0.5, 200.0),
    (("record", "rate"), "recorded rate", "fps", 0.5, 0.5, 60.0),
    (("record", "bitrate"), "bit rate", "kb/s", 64.0, 64.0, 65536.0),
    (("place", "ambient_min"), "coldest air", "degC", 1.0, -60.0, 60.0),
    (("place", "ambient_max"), "warmest air", "degC", 1.0, -60.0, 90.0),
    (("place", "height"), "mounting height", "m", 0.5, 0.5, 50.0),
)
_OF_RECORDER: tuple[_Row, ...] = (
    (("network_cameras",), "network cameras", "", 1.0, 0.0, 64.0),
    (("record", "rate"), "recorded rate", "fps", 0.5, 0.5, 60.0),
    (("record", "bitrate"), "bit rate", "kb/s", 64.0, 64.0, 65536.0),
    (("place", "ambient_min"), "coldest air", "degC", 1.0, -60.0, 60.0),
    (("place", "ambient_max"), "warmest air", "degC", 1.0, -60.0, 90.0),
    (("viewers",), "remote viewers", "", 1.0, 0.0, 128.0),
)
_OF_SUPPLY: tuple[_Row, ...] = (
    (("trim",), "trim", "V", 0.1, 1.0, 60.0),
    (("autonomy",), "running time without mains", "h", 0.5, 0.5, 200.0),
)
_OF_ENTRY: Mapping[str, tuple[_Row, ...]] = {
    "cameras": _OF_CAMERA,
    "recorders": _OF_RECORDER,
    "supplies": _OF_SUPPLY,
    "junctions": (),
    "boxes": (),
    "switches": (),
    "monitors": ((("distance",), "viewing distance", "m", 0.1, 0.1, 50.0),),
}
_TO_BASE = {"kb/s": 1000.0}


def _numbers(above: Steps, model: Any, rows: tuple[_Row, ...], value: Any) -> Iterator[Number]:
    for path, name, unit, step, least, most in rows:
        found = model
        for step_name in path:
            found = getattr(found, str(step_name), None) if found is not None else None
        if isinstance(found, int | float) and not isinstance(found, bool) and _is_written((*above, *path), value):
            yield Number((*above, *path), name, unit, found / _TO_BASE.get(unit, 1.0), step, least, most)


def _is_written(path: Steps, value: Any) -> bool:
    for step in path:
        if not isinstance(value, dict) or step not in value:
            return False
        value = value[step]
    return True


class _Walk:
    """The search for both ends of one number."""

    def __init__(self, state: SiteState, number: Number, level: str) -> None:
        self.state, self.number = state, number
        self.counted = LEVELS[: LEVELS.index(level) + 1]
        self._known: dict[Any, tuple[Key, ...] | None] = {}
        self.standing = self._failing_now()

    def limit(self) -> Limit:
        """Both ends; from a value that fails already, where it begins to hold."""
        return Limit(self.number, self.standing, self._end(self.number.least), self._end(self.number.most))

    def _failing_now(self) -> tuple[Key, ...]:
        """Findings that go away somewhere when this number moves: they hang on it."""
        number = self.number
        gone: dict[Key, None] = {}
        for value in (
            number.least,
            number.most,
            *_between(number.value, number.least),
            *_between(number.value, number.most),
        ):
            trial = self._trial(value)
            if trial is not None:
                before, after = difference(trial)
                lost = [key for key, each in before.fails.items() if each in self.counted and key not in after.fails]
                gone.update(dict.fromkeys(lost))
        return tuple(sorted(gone))

    def _trial(self, value: float) -> Trial | None:
        try:
            return self.state.after(self.number.patch(self.state, value))
        except Refusal:
            return None

    def broken(self, value: float) -> tuple[Key, ...] | None:
        """Rules that fail at this value and do not now; of what fails now, what still does. None: refused."""
        key = self.number.written(value)
        if key not in self._known:
            trial = self._trial(value)
            if trial is None:
                self._known[key] = None
            else:
                before, after = difference(trial)
                fails = [each for each, level in after.fails.items() if level in self.counted]
                self._known[key] = tuple(
                    sorted(each for each in fails if each not in before.fails or each in self.standing)
                )
        return self._known[key]

    def _end(self, far: float) -> End:
        """The end of the range on one side."""
        number = self.number
        start = number.value
        good = not self.standing
        last, values = start, self._steps(far)
        for place, value in enumerate(values):
            broken = self.broken(value)
            if broken is None:
                return End(last, None, ())
            if good and broken:
                holds, fails = self._halved(last, value)
                again = next((each for each in values[place + 1 :] if self.broken(each) == ()), None)
                return End(holds, fails, self.broken(fails) or (), again)
            if not good and not broken:
                fails, holds = self._halved(last, value, until=lambda found: not found)
                return End(holds, fails, ())
            last = value
        return End(last if good else start, None, () if good else self.standing)

    def _steps(self, far: float) -> list[float]:
        """Whole steps from the present value to the far end, close together near it."""
        step = self.number.step
        return list(dict.fromkeys(round(value / step) * step for value in _between(self.number.value, far)))

    def _halved(self, near: float, far: float, until: Callable[[Any], bool] = bool) -> tuple[float, float]:
        """Two neighbouring steps between which the answer changes; `near` keeps it, at `far` it has changed."""
        while abs(far - near) > self.number.step * 1.001:
            middle = round((near + far) / 2 / self.number.step) * self.number.step
            if middle in (near, far):
                break
            near, far = (near, middle) if until(self.broken(middle)) else (middle, far)
        return near, far


def _between(start: float, far: float) -> list[float]:
    """Values from the present one to the far end, close together near it: each step 1.3 times the one before."""
    gap, found = (far - start), list[float]()
    if not gap:
        return []
    share = 1.0 / 1.3**GRID
    while share < 1.0:
        found.append(start + gap * share)
        share *= 1.3
    return [*found, far]


def smallest_sizes(state: SiteState, subject: str, level: str) -> Iterator[Smallest]:
    """The thinnest conductor for a camera's or junction's power, and the smallest disks of a recorder."""
    entry = entry_of(subject)
    if entry[0] in ("cameras", "junctions"):
        yield from (Smallest(*found) for found in conductors(state, entry, level))
    elif entry[0] == "recorders":
        yield from (Smallest(*found) for found in disks(state, entry, level))


__all__ = ["End", "Limit", "Number", "Smallest", "limits_of", "numbers_of", "smallest_sizes"]
