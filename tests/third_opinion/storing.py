"""Rates, the shared budget, bits and days.

From docs/how-facts-are-computed.md, "Acquired and recorded rate" and "Bit rate and days kept".
"""

import math
from typing import Any, NamedTuple

from .reading import Open, assumed, channels, figure, frame_size, quantity, table

SOUND_BITS = 64_000.0
#: A frame may be 2 % larger than the row that covers it.
SLACK = 1.02


class Stored(NamedTuple):
    """What a channel would record: frame, rate, the most of the channel, and what limits it."""

    columns: int
    lines: int
    rate: float
    ceiling: float
    limited_by: str
    reduced: bool

    @property
    def demand(self) -> float:
        return self.columns * self.lines * self.rate


def written(site_entry: dict[str, Any], recorder: dict[str, Any], field: str) -> Any:
    """What is written at the camera comes before what is written at its recorder."""
    own = (site_entry.get("record") or {}).get(field)
    return own if own is not None else (recorder.get("record") or {}).get(field)


def encoding_row(part: dict[str, Any], channel: int, columns: int, lines: int) -> dict[str, Any]:
    """The smallest row that covers the frame, in the order of the page."""
    fitting = []
    for row in part.get("encodes", []):
        width, height = frame_size(row["up_to"])
        here = "channels" not in row or channel in channels(row["channels"])
        if here and columns <= width * SLACK and lines <= height * SLACK:
            reduced = row.get("width", "full") == "reduced"
            fitting.append(((reduced, width * height, "channels" not in row, -quantity(row["rate"], "fps")), row))
    if not fitting:
        raise Open
    return min(fitting, key=lambda pair: pair[0])[1]


def would_store(
    part: dict[str, Any], channel: int, frame: tuple[int, int, float], halved: bool, set_rate: str | None
) -> Stored:
    """The least of acquired, set and ceiling, and the frame that is stored."""
    columns, lines, acquired = frame
    row = encoding_row(part, channel, columns, lines)
    width, height = frame_size(row["up_to"])
    ceiling = quantity(row["rate"], "fps")
    columns, lines = min(columns, width), min(lines, height)
    reduced = row.get("width", "full") == "reduced" and not halved
    choices = [(acquired, "acquired"), (ceiling, "channel-ceiling")]
    if set_rate is not None:
        choices.insert(1, (quantity(set_rate, "fps"), "set-by-hand"))
    rate, cause = min(choices, key=lambda pair: pair[0])
    return Stored(columns // 2 if reduced else columns, lines, rate, ceiling, cause, reduced)


def share_out(demands: dict[str, float | None], total: float | None) -> dict[str, float | None]:
    """Picture elements a second that each channel gets: max-min fair."""
    if total is None:
        return dict(demands)
    if None in demands.values():
        part = total / len(demands)
        return {name: want if want is not None and want <= part else None for name, want in demands.items()}
    given: dict[str, float | None] = {}
    left, waiting = total, sorted(demands, key=lambda name: demands[name])
    while waiting:
        name = waiting.pop(0)
        given[name] = min(demands[name], left / (len(waiting) + 1))
        left -= given[name]
    return given


def codecs(site_entry: dict[str, Any], recorder: dict[str, Any], part: dict[str, Any]) -> list[str]:
    """The codec that a coax channel records in, or all that it may be."""
    set_one = written(site_entry, recorder, "codec")
    if set_one:
        return [set_one]
    has = part.get("codecs")
    if not has:
        return ["h264", "h265"]
    return ["h264"] if "h264" in has else [has[0]]


def network_codec(site_entry: dict[str, Any], recorder: dict[str, Any], stream: dict[str, Any]) -> str:
    """A network camera records in the codec set if it has it; else in the first that its part lists."""
    has = stream.get("codecs", ["h264"])
    set_one = written(site_entry, recorder, "codec")
    return set_one if set_one in has else has[0]


class Bits(NamedTuple):
    """Main stream by day; the codec it is planned in (None: it is set or stated); the second stream."""

    day: float
    planned: str | None
    second: float


def tabled(part: dict[str, Any], frame: tuple[int, int, float], codec: str) -> float | None:
    """The maker's table: the smallest size that covers, of that the smallest rate not below, else the largest; scaled."""
    columns, lines, rate = frame
    fitting = []
    for row in part.get("bitrates", []):
        width, height = frame_size(row["up_to"])
        if row["codec"] == codec and columns <= width * SLACK and lines <= height * SLACK:
            fitting.append((width * height, quantity(row["rate"], "fps"), quantity(row["bitrate"], "bits")))
    if not fitting:
        return None
    smallest = min(area for area, _, _ in fitting)
    fast = sorted(row for row in fitting if row[0] == smallest and row[1] >= rate)
    area, at_rate, bits = fast[0] if fast else max(row for row in fitting if row[0] == smallest)
    return bits * columns * lines * rate / (area * at_rate)


def planned(site: dict[str, Any], entry: dict[str, Any], frame: tuple[int, int, float], codec: str) -> float:
    """Columns x lines x rate x bits a pixel x motion factor."""
    bits = (site.get("assume") or {}).get("bits_per_pixel", float(assumed(f"bits-per-pixel-{codec}")))
    motion = (entry.get("scene") or {}).get("motion", "little")
    return (
        frame[0] * frame[1] * frame[2] * bits * figure("recording-rates", "motion_factor", codec=codec, motion=motion)
    )


def main_stream(
    site: dict[str, Any], entry: dict[str, Any], recorder: dict[str, Any], part: dict[str, Any], frame: Any
) -> Bits:
    """Bits of a coax channel by day; `frame` is a function that raises Open where nobody knows the frame."""
    second = written(entry, recorder, "second_stream")
    beside = quantity(second, "bits") if second else 0.0
    set_one = written(entry, recorder, "bitrate")
    if set_one:
        return Bits(quantity(set_one, "bits"), None, beside)
    answers = []
    for codec in codecs(entry, recorder, part):
        stated = tabled(part, frame(), codec)
        answers.append(
            Bits(stated, None, beside)
            if stated is not None
            else Bits(planned(site, entry, frame(), codec), codec, beside)
        )
    if len({answer.day for answer in answers}) != 1 or (len(answers) > 1 and not answers[0].planned):
        raise Open
    return answers[0]


def network_stream(
    site: dict[str, Any], entry: dict[str, Any], recorder: dict[str, Any], stream: dict[str, Any], frame: Any
) -> Bits:
    """Bits of a network camera: as set, else as its part states in proportion to the rate, else planned."""
    second = written(entry, recorder, "second_stream")
    beside = quantity(second, "bits") if second else 0.0
    set_one = written(entry, recorder, "bitrate")
    columns, lines, rate, full_rate = frame
    if set_one:
        return Bits(quantity(set_one, "bits"), None, beside)
    codec = network_codec(site_entry=entry, recorder=recorder, stream=stream)
    if stream.get("bitrate") and codec == stream.get("codecs", ["h264"])[0]:
        return Bits(quantity(stream["bitrate"], "bits") * rate / full_rate, None, beside)
    return Bits(planned(site, entry, (columns, lines, rate), codec), codec, beside)


def noise(entry: dict[str, Any]) -> str | None:
    return (entry.get("scene") or {}).get("noise")


def _by_night(bits: Bits, entry: dict[str, Any], field: str) -> float:
    if not bits.planned or noise(entry) is None:
        return 1.0
    return figure("night-rates", field, noise=noise(entry))


def most(bits: Bits, entry: dict[str, Any]) -> float:
    """`bitrate`: the most while recording, all streams."""
    return bits.day * max(1.0, _by_night(bits, entry, "planned")) + bits.second


def stream_rate(bits: Bits, entry: dict[str, Any]) -> float:
    """The main stream alone while it records."""
    return bits.day * max(1.0, _by_night(bits, entry, "planned"))


def stream_codecs(entry: Any, recorder: Any, part: dict[str, Any], stream: dict[str, Any] | None) -> list[str]:
    """Every codec that a stream may be in; `stream` is that of a network camera."""
    plainly_set = written(entry, recorder, "bitrate") is not None
    if not plainly_set:
        return codecs(entry, recorder, part) if stream is None else [network_codec(entry, recorder, stream)]
    has = (part if stream is None else stream).get("codecs") or []
    set_one = written(entry, recorder, "codec")
    if set_one is None:
        return has or ["h264", "h265"]
    return [has[0]] if stream is not None and has and set_one not in has else [set_one]


def levels_end(codec: str, columns: int, lines: int, rate: float) -> float:
    """Greatest bits of the lowest level for that picture and rate, and of those with the same two limits."""
    block, side, names = (
        (16, 1, ("frame_macroblocks", "macroblocks_per_second"))
        if codec == "h264"
        else (8, 8, ("picture_samples", "samples_per_second"))
    )
    wide, high = math.ceil(columns / block), math.ceil(lines / block)
    picture = wide * high * side * side
    limits = None
    ends = [0.0]
    for row in table(f"{codec}-levels"):
        most, fast = (float(row[name]) for name in names)
        if limits is None and picture <= most and picture * rate <= fast and max(wide, high) * side <= math.sqrt(8.0 * most):
            limits = (most, fast)
        if limits == (most, fast):
            ends.append(1000.0 * float(row.get("bit_rate_high") or row["bit_rate_main"]))
    return max(ends)


def level_rate_max(main: float, might: list[str], frame: tuple[int, int, float]) -> float:
    """The end that decides whichever codec it is."""
    ends = [levels_end(codec, *frame) for codec in might]
    if main > max(ends):
        return max(ends)
    if main > min(ends):
        raise Open
    return min(ends)


def usual(bits: Bits, entry: dict[str, Any]) -> float:
    """Mean of the hours recorded, as planned."""
    night = quantity(assumed("night-share"), "share")
    return bits.day * (1.0 - night + night * _by_night(bits, entry, "planned")) + bits.second


def ends(bits: Bits, site: dict[str, Any], entry: dict[str, Any]) -> tuple[float, float]:
    """`bitrate_low` and `bitrate_high`."""
    sound = SOUND_BITS if entry.get("sound") or (entry.get("wants") or {}).get("sound") else 0.0
    if not bits.day:
        return 0.0, 0.0
    if not bits.planned:
        return bits.day + bits.second, bits.day + bits.second + sound
    low, high = motion_ends(bits.planned, site, (entry.get("scene") or {}).get("motion"))
    w = quantity(assumed("night-share-most"), "share")
    if noise(entry) is None:
        high *= figure("night-rates", "high", noise="some") if (entry.get("scene") or {}).get("motion") else 1.0
        w = 0.0
    low *= 1.0 - w + w * _by_night(bits, entry, "low")
    high *= 1.0 - w + w * _by_night(bits, entry, "high")
    return bits.day * low + bits.second, bits.day * high + bits.second + sound


def motion_ends(codec: str, site: dict[str, Any], motion: str | None) -> tuple[float, float]:
    """Low and high over planned, by how much moves."""
    row = next(one for one in table("recording-rates") if (one["codec"], one["motion"]) == (codec, motion or "little"))
    base = float(row["bits_per_pixel"]) * float(row["motion_factor"])
    high = float(row["high"])
    if motion is None and "bits_per_pixel" not in (site.get("assume") or {}):
        high = float(row["bits_per_pixel"]) * figure("recording-rates", "motion_factor", codec=codec, motion="much")
    return float(row["low"]) / base, high / base


def share_of_day(site: dict[str, Any], entry: dict[str, Any], recorder: dict[str, Any]) -> float:
    """Share of the day that is recorded."""
    schedule = written(entry, recorder, "schedule") or "continuous"
    if schedule == "continuous":
        return 1.0
    share = written(entry, recorder, "motion_share")
    if share is None:
        share = (site.get("assume") or {}).get({"motion": "motion_share"}.get(schedule, "sorted_motion_share"))
    return quantity(share if share is not None else assumed(f"{schedule}-share"), "share")


def usable(site: dict[str, Any], recorder: dict[str, Any], parts: dict[str, Any]) -> float:
    """Bytes left after redundancy, formatting and index."""
    if "disks" not in recorder:
        raise Open
    sizes = [quantity(parts[disk]["capacity"], "bytes") for disk in recorder["disks"]]
    level, spares = recorder.get("redundancy", "none"), recorder.get("spare_disks", 0)
    members = sorted(sizes)[: max(0, len(sizes) - spares)]
    left = (site.get("assume") or {}).get("usable_share")
    return array(level, members) * quantity(left or assumed("usable-share"), "share")


def sharing(recorder: dict[str, Any]) -> float:
    """Disks over which what is written and read is shared."""
    if not recorder.get("disks"):
        raise Open
    level = recorder.get("redundancy", "none")
    members = [1.0] * max(0, len(recorder["disks"]) - recorder.get("spare_disks", 0))
    if not members:
        raise Open
    return array(level, members)


def read_back(recorder: dict[str, Any], mains: list[float]) -> float:
    """Bits a second read on the mean of a day; these recorders have no viewers."""
    if "playback" not in recorder or "playback_hours" not in recorder:
        raise Open
    return sum(sorted(mains, reverse=True)[: recorder["playback"]]) * quantity(recorder["playback_hours"], "hours") / 24.0


def array(level: str, members: list[float]) -> float:
    """Capacity by redundancy: the smallest disk rules."""
    row = next(one for one in table("redundancy") if one["level"] == level)
    if len(members) < int(row["least_disks"]) or (row["even"] == "yes" and len(members) % 2):
        raise Open
    if level == "none":
        return sum(members)
    counted = {
        "raid0": len(members),
        "raid1": 1,
        "raid5": len(members) - 1,
        "raid6": len(members) - 2,
        "raid10": len(members) // 2,
    }
    return min(members) * counted[level]
