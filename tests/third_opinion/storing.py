"""Rates, the shared budget, bits and days.

From docs/how-facts-are-computed.md, "Acquired and recorded rate" and "Bit rate and days kept".
"""

from typing import Any, NamedTuple

from .reading import Gap, Open, channels, frame_size, quantity

#: Bits a pixel: H.264, and 0.6 of that for H.265; share of a disk left; same page.
BITS_A_PIXEL = {"h264": 0.07, "h265": 0.07 * 0.6}
USABLE = 0.93
NIGHT, LONG_NIGHT = 0.42, 0.67
SOUND_BITS = 64_000.0
MOTION = {"little": 1.0, "medium": 2.0, "much": 4.0}
NOISE = {"little": 1.0, "some": 2.0}
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
    """Main stream by day; whether it is planned; the second stream."""

    day: float
    planned: bool
    second: float


def tabled(part: dict[str, Any], frame: tuple[int, int, float], codec: str) -> float | None:
    """The maker's table: the smallest size that covers the frame, of that the smallest rate that is not below; scaled."""
    columns, lines, rate = frame
    fitting = []
    for row in part.get("bitrates", []):
        width, height = frame_size(row["up_to"])
        if row["codec"] == codec and columns <= width and lines <= height:
            fitting.append((width * height, quantity(row["rate"], "fps"), quantity(row["bitrate"], "bits")))
    if not fitting:
        return None
    smallest = min(area for area, _, _ in fitting)
    fast = sorted(row for row in fitting if row[0] == smallest and row[1] >= rate)
    if not fast:
        raise Gap
    area, at_rate, bits = fast[0]
    return bits * columns * lines * rate / (area * at_rate)


def planned(site: dict[str, Any], entry: dict[str, Any], frame: tuple[int, int, float], codec: str) -> float:
    """Columns x lines x rate x bits a pixel x motion factor."""
    bits = (site.get("assume") or {}).get("bits_per_pixel", BITS_A_PIXEL[codec])
    motion = (entry.get("scene") or {}).get("motion", "little")
    return frame[0] * frame[1] * frame[2] * bits * MOTION[motion]


def main_stream(
    site: dict[str, Any], entry: dict[str, Any], recorder: dict[str, Any], part: dict[str, Any], frame: Any
) -> Bits:
    """Bits of a coax channel by day; `frame` is a function that raises Open where nobody knows the frame."""
    second = written(entry, recorder, "second_stream")
    beside = quantity(second, "bits") if second else 0.0
    set_one = written(entry, recorder, "bitrate")
    if set_one:
        return Bits(quantity(set_one, "bits"), False, beside)
    answers = []
    for codec in codecs(entry, recorder, part):
        stated = tabled(part, frame(), codec)
        answers.append(
            Bits(stated, False, beside)
            if stated is not None
            else Bits(planned(site, entry, frame(), codec), True, beside)
        )
    if len(set(answers)) != 1:
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
        return Bits(quantity(set_one, "bits"), False, beside)
    if stream.get("bitrate"):
        return Bits(quantity(stream["bitrate"], "bits") * rate / full_rate, False, beside)
    codec = network_codec(site_entry=entry, recorder=recorder, stream=stream)
    return Bits(planned(site, entry, (columns, lines, rate), codec), True, beside)


def noise(entry: dict[str, Any]) -> str | None:
    return (entry.get("scene") or {}).get("noise")


def _by_night(bits: Bits, entry: dict[str, Any]) -> float:
    if not bits.planned or noise(entry) is None:
        return 1.0
    if noise(entry) not in NOISE:
        raise Gap
    return NOISE[noise(entry)]


def most(bits: Bits, entry: dict[str, Any]) -> float:
    """`bitrate`: the most while recording, all streams."""
    return bits.day * max(1.0, _by_night(bits, entry)) + bits.second


def usual(bits: Bits, entry: dict[str, Any]) -> float:
    """Mean of the hours recorded, as planned."""
    return bits.day * (1.0 - NIGHT + NIGHT * _by_night(bits, entry)) + bits.second


def ends(bits: Bits, site: dict[str, Any], entry: dict[str, Any]) -> tuple[float, float]:
    """`bitrate_low` and `bitrate_high`."""
    sound = SOUND_BITS if entry.get("sound") or (entry.get("wants") or {}).get("sound") else 0.0
    if not bits.planned:
        return bits.day + bits.second, bits.day + bits.second + sound
    if (entry.get("scene") or {}).get("motion"):
        raise Gap
    low, high = (0.5, 2.0) if "bits_per_pixel" in (site.get("assume") or {}) else (0.5, 4.0)
    dark_low = dark_high = _by_night(bits, entry)
    if noise(entry) is None:
        dark_low, dark_high = 1.0, 2.0
    w = LONG_NIGHT
    return (
        bits.day * low * (1.0 - w + w * dark_low) + bits.second,
        bits.day * high * (1.0 - w + w * dark_high) + bits.second + sound,
    )


def share_of_day(site: dict[str, Any], entry: dict[str, Any], recorder: dict[str, Any]) -> float:
    """Share of the day that is recorded."""
    schedule = written(entry, recorder, "schedule") or "continuous"
    if schedule == "continuous":
        return 1.0
    share = written(entry, recorder, "motion_share")
    if share is None:
        share = (site.get("assume") or {}).get({"motion": "motion_share"}.get(schedule, "sorted_motion_share"))
    if share is None:
        raise Gap
    return quantity(share, "share")


def usable(site: dict[str, Any], recorder: dict[str, Any], parts: dict[str, Any]) -> float:
    """Bytes left after redundancy, formatting and index."""
    if "disks" not in recorder:
        raise Open
    sizes = [quantity(parts[disk]["capacity"], "bytes") for disk in recorder["disks"]]
    level, spares = recorder.get("redundancy", "none"), recorder.get("spare_disks", 0)
    members = sizes[: len(sizes) - spares] if spares else sizes
    if spares and len(set(sizes)) > 1:
        raise Gap
    left = (site.get("assume") or {}).get("usable_share")
    return array(level, members) * (quantity(left, "share") if left else USABLE)


def array(level: str, members: list[float]) -> float:
    """Capacity by redundancy: the smallest disk rules."""
    least = {"none": 1, "raid0": 2, "raid1": 2, "raid5": 3, "raid6": 4, "raid10": 4}
    if len(members) < least[level] or (level == "raid10" and len(members) % 2):
        raise Gap
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
