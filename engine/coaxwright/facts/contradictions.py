"""Values of one entry that cannot hold together: a part in, sentences out.

What `parts check` calls an error is told by every command that rests an answer on the part: `contradictions_of`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Any

from coaxwright.errors import Span
from coaxwright.facts.picture.frames import halved, nominal
from coaxwright.facts.picture.recording import Frame, encoding_row
from coaxwright.facts.picture.signals import Signal, pairs
from coaxwright.model.camera_parts import CameraPart, PickupPart
from coaxwright.model.common import Strict, VideoMode
from coaxwright.model.part_base import PartBase
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.wiring_parts import BoxPart, CablePart, SupplyPart, SwitchPart
from coaxwright.reading.catalogue import Catalogue, PartSource

Path = tuple[str | int, ...]
Finding = tuple[Path, str, str]
Check = Callable[[Any], Iterator[Finding]]


def ordered(group: Strict | None, at: Path, *names: str) -> Iterator[Finding]:
    """Fields that must not fall, from one to the next, as far as they are stated."""
    known = [(name, getattr(group, name)) for name in names if group is not None and getattr(group, name) is not None]
    for (low, least), (high, most) in pairwise(known):
        if least > most:
            yield (
                (*at, high),
                f"`{high}` ({most:g}) is below `{low}` ({least:g})",
                "exchange them, or mend the one that is wrong",
            )


def _power(part: CameraPart | PickupPart | RecorderPart | BoxPart | SwitchPart) -> Iterator[Finding]:
    yield from ordered(part.power, ("power",), "volts_min", "volts", "volts_max")
    yield from ordered(part.power, ("power",), "watts_day", "watts_night")


def _climate(part: PartBase) -> Iterator[Finding]:
    yield from ordered(getattr(part, "housing", None), ("housing",), "temperature_min", "temperature_max")
    yield from ordered(part, (), *(name for name in ("temperature_min", "temperature_max") if hasattr(part, name)))


def _optics(part: CameraPart) -> Iterator[Finding]:
    yield from ordered(part.optics, ("optics",), "focal_min", "focal_max")
    if part.night is not None and part.night.lamp == "none" and part.night.lamp_range:
        yield ("night", "lamp_range"), "a lamp range is stated, and no lamp", "state the lamp, or leave the range out"


def _start(part: CameraPart) -> Iterator[Finding]:
    """A camera starts as something that it can be switched to."""
    free = {_nominal(*pair) for row in part.emits if row.only is None for pair in pairs(row.family, row.mode)}
    asked = {_nominal(*pair) for row in part.emits if row.only for pair in pairs(row.family, row.mode)}
    starts = part.starts_as if isinstance(part.starts_as, tuple) else (part.starts_as,)
    for place, start in enumerate(each for each in starts if each is not None):
        if _nominal(start.family, start.mode) in free:
            continue
        at: Path = ("starts_as", place) if isinstance(part.starts_as, tuple) else ("starts_as",)
        only = "it sends only when asked" if _nominal(start.family, start.mode) in asked else "is not among what it emits"
        what = f"it starts as {start.family} {start.mode}, which {only}"
        yield at, what, "list it under `emits` as a mode that it is switched to, or mend it"


def _nominal(family: str, mode: VideoMode) -> Signal:
    return Signal(family, nominal(mode))


def _switching(part: CameraPart) -> Iterator[Finding]:
    """Ways to switch it, and modes sent on request, agree with what it emits."""
    free = {Signal(*pair) for row in part.emits if row.only is None for pair in pairs(row.family, row.mode)}
    if part.switched_by == () and len(free) > 1:
        what = f"it has {len(free)} modes to be switched to, and nothing to switch it by"
        yield ("switched_by",), what, "state how it is switched; leave it out where nobody says"
    for place, row in enumerate(part.emits):
        if row.only and part.heeds_asks is False:
            what = "a mode is sent only when asked, and the camera heeds no asks"
            yield ("emits", place), what, "leave the row out, or write `heeds_asks: true`"
    if part.emits and not free:
        yield ("emits",), "it sends nothing unless it is asked", "state the modes that it sends by itself"


def _asks(part: RecorderPart) -> Iterator[Finding]:
    """What a recorder asks for is what the same inputs take, by themselves or after a setting."""
    for number, group in enumerate(part.inputs):
        takes = [(_nominal(*pair), row.maker) for row in group.accepts for pair in pairs(row.family, row.mode)]
        for place, ask in enumerate(group.asks):
            for family, mode in pairs(ask.family, ask.wanted):
                makers = {maker for signal, maker in takes if signal == _nominal(family, mode)}
                if not makers & {"any", ask.maker}:
                    who = f" from {ask.maker} cameras" if makers else ""
                    what = f"it asks for {family} {mode}, which no row of `accepts` of these inputs takes{who}"
                    right = "add the mode to `accepts`, or mend `wanted`: what is asked for is judged by those rows"
                    yield ("inputs", number, "asks", place, "wanted"), what, right


def _composite(rows: Sequence[Any], at: Path) -> Iterator[Finding]:
    """Composite video has 480 or 576 lines in use, and no more (ITU-R BT.470)."""
    for place, row in enumerate(rows):
        wrong = [pair for pair in pairs(row.family, row.mode) if pair[0] == "cvbs" and pair[1].height > _COMPOSITE_LINES]
        if wrong:
            what = f"composite video (cvbs) of {wrong[0][1].height} lines: it has {_COMPOSITE_LINES} at most"
            right = "a row is every family of it with every mode of it: write a row for each family"
            yield (*at, place), what, right


def _emitted(part: CameraPart) -> Iterator[Finding]:
    yield from _composite(part.emits, ("emits",))


def _accepted(part: RecorderPart) -> Iterator[Finding]:
    for place, group in enumerate(part.inputs):
        yield from _composite(group.accepts, ("inputs", place, "accepts"))


_COMPOSITE_LINES = 576
"""Most lines of a composite picture: ITU-R BT.601, 625-line systems."""


def _inputs(part: RecorderPart) -> Iterator[Finding]:
    """Every channel belongs to one group of inputs, and channels named elsewhere exist."""
    seen: dict[int, int] = {}
    for place, group in enumerate(part.inputs):
        for channel in group.channels:
            if channel in seen:
                yield ("inputs", place, "channels"), f"input {channel} stands in two groups", "name it in one"
            seen[channel] = place
    named = {
        ("sorted_motion",): part.sorted_motion,
        ("sound", "coax_channels"): part.sound.coax_channels if part.sound else None,
    }
    for at, channels in named.items():
        missing = sorted(set(channels or ()) - set(seen))
        if missing:
            yield (
                at,
                f"channel {missing[0]} is named, and there is no such input",
                f"inputs are {min(seen)} to {max(seen)}",
            )


def _encoding(part: RecorderPart) -> Iterator[Finding]:
    """The total lets at least one channel run as its row says; a thousandth is the rounding of a datasheet (common practice)."""
    if part.encodes_total is None:
        return
    for place, row in enumerate(part.encodes or ()):
        demand = row.up_to.width * row.up_to.height * row.rate
        if demand > part.encodes_total * 1.001:
            one = f"one channel of {row.up_to} at {row.rate:g} fps takes {demand / 1e6:.0f} Mpx/s"
            what = f"{one}, and `encodes_total` is {part.encodes_total / 1e6:g}"
            yield ("encodes", place), what, "multiply frames a second of all channels by columns and lines"


def _encoded_channels(part: RecorderPart) -> Iterator[Finding]:
    """Rows of `encodes` are of inputs that exist."""
    known = {channel for group in part.inputs for channel in group.channels}
    for place, row in enumerate(part.encodes or ()):
        missing = sorted(set(row.channels or ()) - known)
        if missing:
            what = f"channel {missing[0]} is named, and there is no such input"
            yield ("encodes", place, "channels"), what, f"inputs are {min(known)} to {max(known)}"


def uncovered(part: RecorderPart) -> Iterator[Finding]:
    """Pictures that an input takes and no row of `encodes` covers: what is recorded of them stays open."""
    rows = part.encodes or ()
    for number, group in enumerate(part.inputs if rows else ()):
        for place, row in enumerate(group.accepts):
            for family, mode in pairs(row.family, row.mode):
                width = halved(mode.width) if row.width == "reduced" else mode.width
                frame = Frame(width, mode.height, mode.fps, row.width == "reduced")
                bare = [channel for channel in group.channels if encoding_row(rows, channel, frame) is None]
                if bare:
                    what = f"{family} {mode} arrives as {width}x{mode.height}, and no row of `encodes` covers that"
                    right = f"on input {bare[0]} what is recorded stays open until one does"
                    yield ("inputs", number, "accepts", place), what, right


def _networks(part: RecorderPart) -> Iterator[Finding]:
    yield from ordered(part.network, ("network",), "cameras", "cameras_max")


def _supply(part: SupplyPart) -> Iterator[Finding]:
    for field in ("derating", "battery_cold"):
        for place, (one, other) in enumerate(pairwise(getattr(part, field) or ()), 1):
            if other[0] <= one[0]:
                yield (field, place), f"{other[0]:g} °C stands after {one[0]:g} °C", "list temperatures rising"
    for place, (one, other) in enumerate(pairwise(part.battery_curve or ()), 1):
        if other[0] <= one[0] or other[1] >= one[1]:
            told = f"{other[0]:g} out: {other[1]:g} V stands after {one[0]:g} out: {one[1]:g} V"
            yield ("battery_curve", place), told, "list shares rising and volts falling"
    yield from ordered(part, (), "trim_min", "volts", "trim_max")
    yield from ordered(part, (), "amps_per_output", "amps")


def _cable(part: CablePart) -> Iterator[Finding]:
    """Attenuation rises with frequency."""
    points = part.attenuation or ()
    for place, (one, other) in enumerate(pairwise(points), 1):
        if other[0] <= one[0]:
            yield ("attenuation", place), f"{other[0]:g} MHz stands after {one[0]:g} MHz", "list frequencies rising"
        elif other[1] <= one[1]:
            what = f"attenuation falls from {one[1]:g} to {other[1]:g} dB/100 m between {one[0]:g} and {other[0]:g} MHz"
            yield ("attenuation", place), what, "loss rises with frequency: one of the two is wrong"


_NO_GAIN = "leave the gain out, or say that it is an amplifier"


def _box(part: BoxPart) -> Iterator[Finding]:
    if part.does == "amplifier" and part.loss is not None and part.gain is None:
        yield ("loss",), "an amplifier with a loss and no gain", "state its gain"
    active = part.does == "amplifier" or (part.does == "balun" and part.power is not None)
    if part.gain and not active:
        what = f"a {'passive ' * (part.does == 'balun')}{part.does} does not gain"
        right = "leave the gain out, or state the `power` that it takes" if part.does == "balun" else _NO_GAIN
        yield ("gain",), what, right


CONTRADICTIONS: dict[str, tuple[Check, ...]] = {
    "camera": (_power, _climate, _optics, _emitted, _start, _switching),
    "recorder": (_power, _climate, _inputs, _accepted, _asks, _encoding, _encoded_channels, _networks),
    "supply": (_supply, _climate),
    "cable": (_cable, _climate),
    "box": (_power, _box),
    "pickup": (_power,),
    "switch": (_power, _climate),
}
DOUBTS: dict[str, tuple[Check, ...]] = {"recorder": (uncovered,)}
"""What need not be wrong, and leaves something open that a datasheet states."""


def contradictions_of(catalogue: Catalogue, names: Iterable[str]) -> tuple[str, ...]:
    """Errors within the entries of these parts, each once, with file, line and column, as `parts check` words them.

    Parts that no file brought have none. Raises KeyError for a part that the catalogue lacks.
    """
    wanted = {catalogue.full_id(name) for name in names}
    found: list[tuple[str, Span, str]] = []
    for source in catalogue.sources:
        for name in sorted(wanted & source.entries.parts.keys()):
            found += _told(source, name)
    return tuple(f"{file}:{span.line}:{span.column}: error: {words}" for file, span, words in sorted(found))


def _told(source: PartSource, name: str) -> Iterator[tuple[str, Span, str]]:
    part = source.entries.parts[name]
    for check in CONTRADICTIONS.get(part.kind, ()):
        for path, what, right in check(part):
            yield source.file, source.document.nearest_span(("parts", name, *path)), f"{name}: {what}; {right}"
