"""Which facts each assumed value bears on: kinds of sheet and their fields, by name of the row in table `assumptions`.

A row bears on a fact where a change of its value can change that fact. Of declared facts the declarations say it: which
figure is assumed, which way of a fact assumes something, and what reads them, along the sheets. `_GIVEN` holds only what
Python binds, looks up or solves; the test `tests/checking/test_related.py` tries it, on every example that assumes much.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from coaxwright.facts.assumed import Used
from coaxwright.facts.declared.book import Book, book_of
from coaxwright.facts.sheets import SHEETS, Sheet, kind_at

Field = tuple[str, str]

_SOLVED = """
battery.amps device_feed.amps_day device_feed.amps_night device_feed.speaks_for_collapse
device_feed.volts_day device_feed.volts_night feed.amps_day feed.amps_night feed.collapsed feed.collapsed_by_day
feed.collapsed_by_night feed.drop_night feed.margin_least feed.margin_night feed.speaks_for_collapse feed.volts_battery
feed.volts_crest_night feed.volts_day feed.volts_night junction.amps_day junction.amps_night junction.volts_day
junction.volts_night output.amps_day output.amps_night output.amps_start run.amps_day run.amps_night
supply.amps_day supply.amps_night supply.amps_start supply.collapsed supply.margin_night supply.margin_working supply.watts_night
ups.watts ups.volt_amps ups.hours standby.hours battery.hours_tabled evening.volts_needed evening.hours
cabinet.watts housed.heat housed.air
"""
_HEAT = """cabinet.watts housed.heat housed.air supply.air supply.share_warm output.share_warm recorder.ambient_max
ups.ambient_max battery.temperature_max exposure.ambient_max"""
_NOMINAL = "supply.volts feed.volts_idle device_feed.volts_idle"
_OHMS = "device_feed.ohms_total feed.ohms feed.ohms_total feed.temperature poe_port.ohms"
_CARRIES = "run.air run.amps_max run.device_max run.temperature"
_LOSS = "hop.loss hop.loss_before link.loss link.runs_loss link.fixed_loss"
_MEAN = "camera.days_kept recorder.bitrate_mean recorder.bitrate_mean_low recorder.bitrate_mean_high"
_RATE = f"{_MEAN} camera.bitrate camera.bitrate_low camera.bitrate_high camera.stream_rate recorder.bitrate"
_LEVELED = f"{_RATE} camera.level_rate_max"
_ENCODED = f"""{_LEVELED} camera.recorded_fps link.recorded_fps link.limited_by link.level_rate link.level
recorder.encode_used recorder.level_rate"""
_MEETS = "feed.kinds_meet device_feed.kinds_meet camera.power_kind device_feed.power_kind supply.gives"
_AIR = """camera.ambient_max camera.ambient_min recorder.ambient_max recorder.ambient_min battery.temperature standby.hours
supply.air supply.share_warm output.share_warm cabinet.outside battery.hours_tabled evening.hours"""
_AIR = f"{_AIR} housed.air ups.ambient_max battery.temperature_max exposure.ambient_max"

_GIVEN: Mapping[str, str] = {
    "battery-cold-loss": "standby.hours battery.hours_tabled evening.hours",
    "battery-end": "battery.volts_end feed.volts_battery",
    "battery-float-greatest": "supply.volts_float feed.volts_idle device_feed.volts_idle",
    "battery-float-least": f"supply.float_least {_NOMINAL} {_SOLVED}",
    "battery-rated-hours": "battery.rated_hours standby.hours evening.hours",
    "battery-remaining": "standby.hours battery.hours_tabled evening.hours",
    "bits-per-pixel-h264": _RATE,
    "bits-per-pixel-h265": _RATE,
    "coax-by-size": f"{_LOSS} link.clad_steel run.centre",
    "coax-loss-temperature-coefficient": _LOSS,
    "coax-maker": "camera.sound_works camera.sound_cause camera.control_works camera.control_cause",
    "codec": _LEVELED,
    "conductor-current": "run.amps_max run.device_max run.amps_basis",
    "conductor-temperature": f"{_SOLVED} {_OHMS} {_CARRIES} {_LOSS}",
    "copper-temperature-coefficient": f"{_SOLVED} {_OHMS}",
    "device-derating": "output.share_warm",
    "encoder-sharing": _ENCODED,
    "encoder-total": _ENCODED,
    "environment-indoor": _AIR,
    "environment-outdoor": _AIR,
    "environment-sheltered": _AIR,
    "joint-loss": _LOSS,
    "lampless-night": f"camera.watts_night device_feed.watts_night {_SOLVED}",
    "load-kind": _SOLVED,
    "mains-power-factor": "ups.volt_amps",
    "motion-factor": _RATE,
    "motion-share": _MEAN,
    "motor-power": f"camera.watts_day camera.watts_night {_SOLVED}",
    "network-codec": _LEVELED,
    "night-share": _MEAN,
    "night-share-most": f"{_MEAN} camera.bitrate_low camera.bitrate_high",
    "pair-loss-temperature-coefficient": _LOSS,
    "peukert-exponent": "standby.hours evening.hours",
    "power-factor": _SOLVED,
    "power-kind": f"{_MEETS} {_SOLVED}",
    "schedule": _MEAN,
    "sorted-motion-share": _MEAN,
    "source-resistance": _SOLVED,
    "supply-derating": "supply.share_warm",
    "supply-efficiency": f"ups.watts ups.volt_amps ups.hours standby.hours {_HEAT}",
    "supply-trim": f"{_NOMINAL} {_SOLVED}",
    "usable-share": "camera.days_kept",
    "video-rate": "site.video_rate link.emitted_fps link.acquired_fps link.frame_family",
}


def _reads(book: Book) -> Iterator[tuple[Field, Field]]:
    """Every field that a declared fact reads, those on the way to others as well, each with that fact."""
    for fact in book.facts:
        for path in fact.whole.paths:
            kind = path[0]
            for name in path[1:]:
                if name != "*":
                    yield (kind, name), (book.kind, fact.name)
                    kind = kind_at(kind, name)


def _assumed_in(book: Book) -> Iterator[tuple[str, Field]]:
    """What the declarations themselves take: as a figure, or in one of the ways of a fact."""
    yield from ((row, (book.kind, figure)) for figure, row in book.assumed.items())
    yield from ((way.assumes, (book.kind, fact.name)) for fact in book.facts for way in fact.ways if way.assumes)


def _books() -> list[Book]:
    return [book for book in map(book_of, SHEETS) if book is not None]


@cache
def _readers() -> Mapping[Field, list[Field]]:
    """The declared facts that read each field."""
    readers: dict[Field, list[Field]] = {}
    for read, reader in (pair for book in _books() for pair in _reads(book)):
        readers.setdefault(read, []).append(reader)
    return readers


@cache
def shared_fields() -> frozenset[Field]:
    """Fields that something outside the entry can move: those marked so on their sheets, and declared facts that read them."""
    marked = [
        (kind, name)
        for kind, cls in SHEETS.items()
        for name, entry in cls.__dataclass_fields__.items()  # type: ignore[attr-defined]
        if entry.metadata.get("shared")
    ]
    return frozenset(_all_above(marked, _readers()))


@cache
def bears() -> Mapping[str, frozenset[Field]]:
    """The fields that each assumption bears on, as kind of sheet and field."""
    books, readers = _books(), _readers()
    moved = {row: [_field(word) for word in words.split()] for row, words in _GIVEN.items()}
    for row, place in (pair for book in books for pair in _assumed_in(book)):
        moved.setdefault(row, []).append(place)
    return {row: frozenset(filter(_is_field, _all_above(places, readers))) for row, places in moved.items()}


def _field(word: str) -> Field:
    kind, _, name = word.partition(".")
    return kind, name


def _is_field(place: Field) -> bool:
    """Not a figure that a declaration works with inside."""
    return place[1] in SHEETS[place[0]].__dataclass_fields__  # type: ignore[attr-defined]


def _all_above(places: Iterable[Field], readers: Mapping[Field, Iterable[Field]]) -> Iterable[Field]:
    """These and all that read them, nearest first, each once."""
    waiting = list(dict.fromkeys(places))
    found = dict.fromkeys(waiting)
    for place in waiting:
        new = [reader for reader in readers.get(place, ()) if reader not in found]
        found.update(dict.fromkeys(new))
        waiting += dict.fromkeys(new)
    return found


_STOOD_IN = {"ambient_min": "ambient_min_assumed", "ambient_max": "ambient_max_assumed"}
"""Facts that have a fact beside them which says that they were assumed."""


def bearing(fields: Iterable[Field]) -> frozenset[str]:
    """Names of all assumptions that can bear on any of these fields."""
    wanted = set(fields)
    return frozenset(name for name, reached in bears().items() if not wanted.isdisjoint(reached))


def taken_for(sheet: Sheet, field: str, used: Iterable[Used]) -> Iterator[Used]:
    """Those of the assumptions used that bear on this field of this sheet, as far as the sheet itself can tell."""
    flag = _STOOD_IN.get(field)
    if flag is not None and sheet.known(flag) is False:
        return
    place = (sheet.kind, field)
    yield from (each for each in used if place in bears().get(each.assumption.name, frozenset()))
