"""The numbers that a site file writes for a subject: where they stand, their steps, and how far each is varied.

A value that the site file does not write is not varied; a camera's load by night, which its part states, is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.components import GROUPS, Entry, model_of
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Patch, pointer, replace_or_add, value_at
from coaxwright.fixes.rejudging import SiteState
from coaxwright.model.quantities import format_quantity
from coaxwright.model.site import Camera, ControlPath, NetworkPath, PowerPath, SoundPath, VideoPath
from coaxwright.reading.suggest import did_you_mean

Steps = tuple[str | int, ...]


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

    def left_out(self, state: SiteState) -> Patch:
        """The edit that leaves the number out: what asks for it then hangs on it."""
        if not self.of_part:
            return [{"op": "remove", "path": pointer(self.path)}]
        return [replace_or_add(state.value, self.path, lent_load(state, self.path, None))]

    def rounded(self, value: float) -> float:
        """The nearest whole step; the value as the file writes it stays as it is."""
        return value if value == self.value else round(value / self.step) * self.step

    def written(self, value: float) -> object:
        """The value as the site file writes it: counts without a unit."""
        rounded = self.rounded(value)
        return round(rounded) if not self.unit else f"{rounded:.10g} {_SPELLED.get(self.unit, self.unit)}"

    def told(self, value: float) -> str:
        """The value in words."""
        return format_quantity(self.rounded(value), self.unit)


_SPELLED = {"d": "days", "degC": "°C", "%": "%"}


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


def _load(state: SiteState, entry: Entry, model: object) -> Iterator[Number]:
    """What a camera draws by night, where its part states it: room for another camera, or for a lamp."""
    part = state.basis.loaded.catalogue.part(model.part) if isinstance(model, Camera) and model.power else None
    if part is not None and part.power is not None and part.power.watts_night is not None:
        watts = part.power.watts_night
        yield Number((*entry, "part"), "load by night", "W", watts, 0.1, 0.1, 20 * watts, of_part=True)


def lent_load(state: SiteState, path: Steps, watts: float | None) -> str:
    """A copy of the part named at a path that draws so many watts by night (None: not stated), put into the
    catalogue for trials.

    Its id begins like the part's, so that the maker stays the same. `limits_of` takes it out again.
    """
    catalogue = state.basis.loaded.catalogue
    own = catalogue.full_id(value_at(state.value, path))
    part = catalogue.part(own)
    drawn = None if watts is None else round(watts, 1)
    name = f"{own}{_LENT}{'unknown' if drawn is None else f'{drawn:g}'}"
    power = part.power.model_copy(update={"watts_night": drawn})
    catalogue.parts.setdefault(name, part.model_copy(update={"power": power}))
    return name


_LENT = "-drawing-"


def without_lent(path: str) -> str:
    """A document path with the part itself in place of a copy that was lent for a trial."""
    return "/".join(step.partition(_LENT)[0] for step in path.split("/"))


def _lengths(
    entry: Entry, way: ControlPath | NetworkPath | PowerPath | SoundPath | VideoPath | None, use: str
) -> Iterator[Number]:
    hops = [(index, hop, hop.metres) for index, hop in enumerate((way and way.over) or ()) if hop.metres is not None]
    for index, hop, metres in hops:
        name = f"{use} length" if len(hops) == 1 else f"{use} length, piece {index + 1}"
        inside = ("length",) if metres == hop.length else ("measured", "length")
        yield Number((*entry, use, "over", index, *inside), name, "m", metres, 1.0, 1.0, max(1000.0, 4 * metres))


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
    (("autonomy",), "running time without mains", "h", 0.1, 0.1, 200.0),
)
_OF_ENTRY: Mapping[str, tuple[_Row, ...]] = {
    "cameras": _OF_CAMERA,
    "recorders": _OF_RECORDER,
    "supplies": _OF_SUPPLY,
    "junctions": (),
    "boxes": (),
    "switches": (),
    "ups": (
        (("autonomy",), "running time without mains", "h", 0.1, 0.1, 200.0),
        (("place", "ambient_max"), "warmest air", "degC", 1.0, -60.0, 90.0),
    ),
    "cabinets": (
        (("place", "ambient_max"), "warmest air around it", "degC", 1.0, -60.0, 90.0),
        (("fan",), "air of its fan, m3/h", "", 1.0, 0.0, 500.0),
    ),
    "monitors": ((("distance",), "viewing distance", "m", 0.1, 0.1, 50.0),),
}
_TO_BASE = {"kb/s": 1000.0}


def _numbers(above: Steps, model: object, rows: tuple[_Row, ...], value: object) -> Iterator[Number]:
    for path, name, unit, step, least, most in rows:
        found = model
        for step_name in path:
            found = getattr(found, str(step_name), None) if found is not None else None
        if isinstance(found, int | float) and not isinstance(found, bool) and _is_written((*above, *path), value):
            yield Number((*above, *path), name, unit, found / _TO_BASE.get(unit, 1.0), step, least, most)


def _is_written(path: Steps, value: object) -> bool:
    for step in path:
        if not isinstance(value, dict) or step not in value:
            return False
        value = value[step]
    return True
