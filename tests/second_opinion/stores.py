"""Second opinion on records: what each channel is stored as, its bits, and the disks."""

from __future__ import annotations

from typing import NamedTuple

from .pictures import family_of_rate, pictured
from .plain import WRITTEN, assumption, channels, num, table

EQUAL = 1e-9
STREAM = ["recorded_width", "recorded_height", "recorded_fps", "recorded_reduced", "limited_by", "level_rate", "level"]


def size(text):
    wide, _, high = str(text).partition("x")
    return int(wide), int(high)


def covers(up_to, wide, high):
    return wide <= up_to[0] * 1.02 and high <= up_to[1] * 1.02


def ceiling(recorder, number, wide, high, reduced):
    """Stored columns and lines, most frames a second, and whether columns are dropped; None where no row says."""
    best = None
    for row in recorder.get("encodes") or ():
        only = channels(row.get("channels"))
        if (only is not None and number not in only) or not covers(size(row["up_to"]), wide, high):
            continue
        up = size(row["up_to"])
        key = (row.get("width", "full") == "reduced", up[0] * up[1], only is None, -num(row["rate"]))
        if best is None or key < best[0]:
            best = key, row, up
    if best is None:
        return None
    _, row, up = best
    halving = row.get("width", "full") == "reduced" and not reduced
    wide, high = min(wide, up[0]), min(high, up[1])
    return wide // 2 if halving else wide, high, num(row["rate"]), halving


def planned(own, common):
    """The camera's words before the recorder's."""
    found = dict(common or {})
    found.update(own or {})
    return found


BITS = ("bitrate", "bitrate_low", "bitrate_high", "stream_rate", "level_rate_max")


class Ends(NamedTuple):
    """bit/s: most while it records; means of a day of recording: at the least, planned, on the careful side."""

    peak: float
    low: float
    mean: float
    high: float

    def more(self, second, sound=0.0):
        return Ends(self.peak + second, self.low + second, self.mean + second, self.high + second + sound)


def steady(rate):
    return Ends(rate, rate, rate, rate)


def moving(elements, codec, scene):
    """A planned rate: by what moves and by the noise of the night (docs/how-facts-are-computed.md, bit rate)."""
    per, motion, noise = assumption(f"bits-per-pixel-{codec}"), scene.get("motion"), scene.get("noise")
    rows = {row["motion"]: row for row in table("recording-rates") if row["codec"] == codec}
    row = rows[motion or "little"]
    stated = num(row["bits_per_pixel"])
    factor = num(row["motion_factor"])
    most = num(row["high"])
    if motion is None and f"bits-per-pixel-{codec}" not in WRITTEN:
        most = num(rows["much"]["bits_per_pixel"]) * num(rows["much"]["motion_factor"])
    day = elements * per * (factor if motion else assumption("motion-factor"))
    low, high = day * num(row["low"]) / (stated * factor), day * most / (stated * factor)
    nights = {row["noise"]: row for row in table("night-rates")}
    if noise is None:
        return Ends(day, low, day, high * (num(nights["some"]["high"]) if motion else 1.0))
    share, winter, night = assumption("night-share"), assumption("night-share-most"), nights[noise]
    at = [num(night[name]) for name in ("low", "planned", "high")]
    return Ends(
        day * max(1.0, at[1]),
        low * ((1 - winter) + winter * at[0]),
        day * ((1 - share) + share * at[1]),
        high * ((1 - winter) + winter * at[2]),
    )


def voice(entry):
    """64 kbit/s (ITU-T G.711) for a camera whose sound is drawn or wanted."""
    wanted = str((entry.get("wants") or {}).get("sound")).lower() == "true"
    return 64_000.0 if entry.get("sound") is not None or wanted else 0.0


def bits(recorder, stream, plan):
    """bit/s of the main stream, as `Ends`; None where no codec is known."""
    if plan.get("bitrate") is not None:
        return steady(num(plan["bitrate"]))
    codecs = recorder.get("codecs")
    codec = plan.get("codec")
    if codec is None and codecs:
        codec = "h264" if "h264" in codecs else codecs[0]
        codec = codecs[0] if len(codecs) == 1 else codec
    wide, high, fps = stream
    if codec is None:
        named = any(covers(size(row["up_to"]), wide, high) for row in recorder.get("bitrates") or ())
        planned_bits = {assumption("bits-per-pixel-h264"), assumption("bits-per-pixel-h265")}
        if named or len(planned_bits) > 1:
            return None
        codec = "h264"
    rows = [row for row in recorder.get("bitrates") or () if row["codec"] == codec]
    rows = [row for row in rows if covers(size(row["up_to"]), wide, high)]
    if rows:
        areas = [size(row["up_to"])[0] * size(row["up_to"])[1] for row in rows]
        least = min(areas)
        rows = [row for row, area in zip(rows, areas, strict=True) if area == least]
        rates = sorted(num(row["rate"]) for row in rows)
        rate = next((each for each in rates if each >= fps * (1 - EQUAL)), rates[-1])
        row = next(row for row in rows if num(row["rate"]) == rate)
        return steady(num(row["bitrate"]) * (wide * high * fps) / (least * rate))
    return moving(wide * high * fps, codec, plan.get("scene") or {})


def duty(plan):
    schedule = plan.get("schedule") or assumption("schedule")
    if schedule == "continuous":
        return 1.0, False
    if plan.get("motion_share") is not None:
        return num(plan["motion_share"]), False
    return assumption(f"{schedule}-share"), True


def level(wide, high, fps, rate):
    across, down = (wide + 15) // 16, (high + 15) // 16
    for row in table("h264-levels"):
        most = int(row["frame_macroblocks"])
        if across * down > most or max(across, down) ** 2 > 8 * most:
            continue
        if across * down * fps <= num(row["macroblocks_per_second"]) and rate <= num(row["bit_rate_high"]) * 1000:
            return row["level"]
    return None


def end_of_levels(codec, wide, high, fps):
    """The most bits of the lowest level for picture and rate and of those like it (docs/how-facts-are-computed.md)."""
    if codec == "h264":
        unit, names = 16, ("frame_macroblocks", "macroblocks_per_second")
    else:
        unit, names = 8, ("picture_samples", "samples_per_second")
    across, down = -(-wide // unit), -(-high // unit)
    cell = 1 if codec == "h264" else unit * unit
    longest = max(across, down) * (1 if codec == "h264" else unit)
    rows = []
    for row in table(f"{codec}-levels"):
        size_most, rate_most = num(row[names[0]]), num(row[names[1]])
        fits = across * down * cell <= size_most and longest <= (8 * size_most) ** 0.5
        if fits and across * down * cell * fps <= rate_most:
            bits_most = row.get("bit_rate_high") or row["bit_rate_main"]
            rows.append((size_most, rate_most, num(bits_most) * 1000))
    return max((each[2] for each in rows if each[:2] == rows[0][:2]), default=0.0)


def level_bound(rate, codecs, wide, high, fps):
    """What decides whichever of the codecs it is; None between their ends."""
    ends = sorted(end_of_levels(codec, wide, high, fps) for codec in codecs)
    return ends[0] if rate <= ends[0] else ends[-1] if rate > ends[-1] else None


def recorder_codecs(recorder, plan):
    """What a coax stream may be encoded in."""
    listed = list(recorder.get("codecs") or ())
    if plan.get("codec") is not None:
        return [plan["codec"]]
    if not listed or plan.get("bitrate") is not None:
        return listed or ["h264", "h265"]
    return ["h264"] if "h264" in listed else listed[:1]


def fair(total, asked):
    """Max-min fair: raise a common level until the total is spent."""
    got = [0.0] * len(asked)
    open_ones = [index for index, each in enumerate(asked) if each > 0]
    left = total
    while open_ones and left > 1e-12 * total:
        step = min(left / len(open_ones), min(asked[index] - got[index] for index in open_ones))
        for index in open_ones:
            got[index] += step
        left -= step * len(open_ones)
        open_ones = [index for index in open_ones if asked[index] - got[index] > 1e-12 * asked[index]]
    return got


def wanted(recorder, one):
    """What a channel would store alone: None where open."""
    link, plan = one["link"], one["plan"]
    if link["outcome"] is None:
        return None
    if not pictured(link["outcome"]):
        link.update(recorded_reduced=False, channel_ceiling=0.0)
        return [0, 0, 0.0, "no-picture"]
    found = ceiling(recorder, one["number"], link["width"], link["height"], link["outcome"] == "reduced-width")
    if found is None:
        return None
    wide, high, most, halving = found
    link.update(recorded_reduced=halving, channel_ceiling=most)
    rate, cause = link["acquired_fps"], "acquired"
    own = num(plan.get("rate"))
    if own is not None and own < rate * (1 - EQUAL):
        rate, cause = own, "set-by-hand"
    if most < rate * (1 - EQUAL):
        rate, cause = most, "channel-ceiling"
    return [wide, high, rate, cause]


def record(recorder, entry, links, sheet, more=lambda totals: totals):
    """Fill what is recorded of each channel and the recorder's sums; returns the mean rate and assumed motion.

    `more` adds to the sums (bits while recording, mean, assumed shares, whether something is lacking).
    """
    streams = [wanted(recorder, one) for one in links]
    alone = [each and list(each) for each in streams]
    total = num(recorder.get("encodes_total"))
    asks = [None if each is None else each[0] * each[1] * each[2] for each in streams]
    sheet["encode_total"] = total
    sheet["encode_demand"] = None if None in asks else sum(asks)
    if total is not None and None in asks:
        part = total / len(asks)
        streams = [s if a is not None and a <= part * (1 + EQUAL) else None for s, a in zip(streams, asks, strict=True)]
    elif total is not None and sum(asks) > total * (1 + EQUAL):
        for stream, ask, got in zip(streams, asks, fair(total, asks), strict=True):
            if got < ask * (1 - EQUAL):
                stream[2], stream[3] = got / (stream[0] * stream[1]), "shared-budget"
    known = None not in streams
    sheet["encode_used"] = sum(s[0] * s[1] * s[2] for s in streams) if known else None
    rates = [_stored(recorder, one, *each) for one, *each in zip(links, streams, alone, strict=True)]
    sheet["level_rate"] = sum(one["link"]["level_rate"] for one in links) if known else None
    sheet["bitrate_max"] = num(recorder.get("record_bitrate"))
    return _summed(entry, rates, sheet, more)


def _stored(recorder, one, stream, alone):
    """Bits of one channel: while recording, mean, and whether its share of motion is assumed."""
    link, camera = one["link"], one["camera"]
    keep = link["recorded_reduced"]
    for name in STREAM:
        link[name] = None
    for name in ("recorded_width", "recorded_height", "recorded_fps", *BITS):
        camera[name] = None
    link["recorded_reduced"] = keep
    if stream is None:
        if alone is not None:
            for sheet in (link, camera):
                sheet.update(recorded_width=alone[0], recorded_height=alone[1])
        if not pictured(link["outcome"]) or one["plan"].get("bitrate") is None:
            return None
        share, assumed = duty(one["plan"])
        set_one = steady(num(one["plan"]["bitrate"]))
        camera["stream_rate"] = set_one.peak
        return tell(camera, set_one.more(num(one["plan"].get("second_stream")) or 0.0, one["voice"])), share, assumed
    wide, high, fps, cause = stream
    link.update(recorded_width=wide, recorded_height=high, recorded_fps=fps, limited_by=cause)
    camera.update(recorded_width=wide, recorded_height=high, recorded_fps=fps)
    if fps <= 0:
        link["level_rate"] = camera["stream_rate"] = camera["level_rate_max"] = 0.0
        return tell(camera, steady(0.0)), 1.0, False
    link["level_rate"] = ((wide + 15) // 16) * ((high + 15) // 16) * fps
    main = bits(recorder, (wide, high, fps), one["plan"])
    link["level"] = level(wide, high, fps, main.peak if main else 0.0)
    if main is None:
        return None
    camera["stream_rate"] = main.peak
    camera["level_rate_max"] = level_bound(main.peak, recorder_codecs(recorder, one["plan"]), wide, high, fps)
    share, assumed = duty(one["plan"])
    return tell(camera, main.more(num(one["plan"].get("second_stream")) or 0.0, one["voice"])), share, assumed


def tell(camera, ends):
    """Put the bits of a camera on its sheet."""
    camera.update(bitrate=ends.peak, bitrate_low=ends.low, bitrate_high=ends.high)
    return ends


def _summed(entry, rates, sheet, more):
    ends = Ends(0.0, 0.0, 0.0, 0.0)
    for each in rates:
        ends = ends if each is None else counted(ends, each[0], each[1])
    assumed = sum(each[2] for each in rates if each)
    ends, assumed, lacking = more((ends, assumed, None in rates))
    count = int(entry.get("network_cameras") or 0)
    if count:
        plan = entry.get("record") or {}
        if plan.get("bitrate") is None:
            lacking = True
        else:
            share, guessed = duty(plan)
            one = num(plan["bitrate"]) + (num(plan.get("second_stream")) or 0.0)
            ends, assumed = counted(ends, steady(count * one), share), assumed + count * guessed
    names = ("bitrate", "bitrate_mean_low", "bitrate_mean", "bitrate_mean_high")
    sheet.update(dict.fromkeys(names) if lacking else zip(names, ends, strict=True))
    return ends, assumed


def counted(total, ends, share):
    """Sums of a recorder with one stream more, that records for a share of the day."""
    means = (was + now * share for was, now in zip(total[1:], ends[1:], strict=True))
    return Ends(total.peak + ends.peak, *means)


def redundant(kind, sizes, spares):
    """Members, least disks, and bytes of the array; None where the level cannot be built."""
    members = sorted(sizes)[: max(0, len(sizes) - spares)]
    n = len(members)
    least = {"none": 1, "raid0": 2, "raid1": 2, "raid5": 3, "raid6": 4, "raid10": 4}[kind]
    if kind == "raid10" and n > least and n % 2:
        least = n + 1
    if n < least:
        return members, least + spares, 0.0 if not sizes else None
    if kind == "none":
        return members, least + spares, sum(members)
    data = {"raid0": n, "raid1": 1, "raid5": n - 1, "raid6": n - 2, "raid10": n // 2}[kind]
    return members, least + spares, members[0] * data


DISKS = [
    "disks",
    "bays",
    "bays_free",
    "largest",
    "largest_allowed",
    "raw",
    "usable",
    "needed",
    "days",
    "days_least",
    "days_most",
    "days_wanted",
    "redundancy",
    "redundancy_known",
    "disks_least",
    "spares",
    "smallest",
    "lost",
    "rebuild",
    "days_continuous",
    "written_per_year",
    "reads",
    "read_per_year",
    "moved_per_year",
    "continuous",
    "workload",
    "motion_assumed",
    "erase_after",
    "days_held",
    "days_max",
    "wanted_by",
    "usable_most",
    "temperature",
    "temperature_max",
]


def store(parts, recorder, entry, sheet, ends, assumed, site, cameras):
    """The facts of one recorder's disks."""
    mean = ends.mean
    kind, spares = entry.get("redundancy", "none"), int(entry.get("spare_disks") or 0)
    facts = dict.fromkeys(DISKS)
    facts["redundancy"], facts["motion_assumed"] = kind, assumed
    facts["redundancy_known"] = kind == "none" or kind in (recorder.get("redundancy") or [])
    facts["bays"] = None if recorder.get("bays") is None else int(recorder["bays"])
    facts["largest_allowed"] = num(recorder.get("disk_max"))
    facts["growth"] = num(site.get("growth"))
    facts["days_max"], facts["erase_after"] = num(site.get("retention_max")), num(entry.get("erase_after"))
    days = [num(site.get("retention"))] + [each["wants_retention"] for each in cameras]
    days = [each for each in days if each is not None]
    known = sheet["bitrate"] is not None
    if days:
        facts["days_wanted"] = max(days)
        names = ["the site"] * ("retention" in site) + [each["name"] for each in cameras if each["wants_retention"]]
        facts["wanted_by"] = names[days.index(max(days))]
        facts["needed"] = mean / 8 * 86400 * max(days) if known else None
    if entry.get("disks") is not None:
        _fitted(facts, [parts[each] for each in entry["disks"]], kind, spares, mean if known else None)
        for name, rate in (("days_least", ends.high), ("days_most", ends.low)):
            if facts["usable"] is not None and known and rate > 0:
                facts[name] = facts["usable"] * 8 / rate / 86400
        _upkeep(facts, [parts[each] for each in entry["disks"]], sheet, site.get("growth"))
    fitted = [num(parts[each]["capacity"]) for each in entry.get("disks") or ()]
    _read_back(facts, entry, sheet, cameras, data_share(kind, fitted, spares))
    if facts["usable"] is not None and known and sheet["bitrate"]:
        facts["days_continuous"] = facts["usable"] * 8 / sheet["bitrate"] / 86400
    ages = [each for each in (facts["days"], facts["erase_after"]) if each is not None]
    facts["days_held"] = min(ages) if ages else None
    for camera in cameras:
        camera["days_kept"] = facts["days"]
    return facts


def data_share(kind, sizes, spares):
    """Disks that share what is written; None where the level cannot be made of them."""
    members, _, array = redundant(kind, sizes, spares)
    n = len(members)
    if not n or array is None:
        return None
    return {"none": n, "raid0": n, "raid1": 1, "raid5": n - 1, "raid6": n - 2, "raid10": n // 2}[kind]


def _fitted(facts, disks, kind, spares, mean):
    sizes = [num(each["capacity"]) for each in disks]
    members, least, array = redundant(kind, sizes, spares)
    facts.update(disks=len(sizes), raw=sum(sizes), disks_least=least, spares=spares)
    facts["largest"] = max(sizes) if sizes else None
    if facts["bays"] is not None:
        facts["bays_free"] = facts["bays"] - len(sizes)
    runs = [each.get("continuous") for each in disks]
    runs = [None if each is None else str(each).lower() == "true" for each in runs]
    facts["continuous"] = False if False in runs else None if None in runs or not runs else True
    if not runs:
        facts["continuous"] = True
    loads = [num(each.get("workload")) for each in disks]
    facts["workload"] = min(loads) if loads and None not in loads else None
    if members:
        facts["smallest"] = members[0]
        facts["lost"] = 0.0 if kind == "none" else sum(members) - members[0] * len(members)
        if kind in ("raid1", "raid5", "raid6", "raid10"):
            facts["rebuild"] = members[0] * 8 / assumption("rebuild-rate") / 3600
    if array is None:
        return
    facts["usable"] = array * assumption("usable-share")
    if mean is None:
        return
    if mean > 0:
        facts["days"] = facts["usable"] * 8 / mean / 86400
    share = data_share(kind, sizes, spares)
    if share is not None:
        facts["written_per_year"] = mean / 8 * 31_536_000 / share


def _read_back(facts, entry, sheet, cameras, share):
    """What is played back in a year, where somebody says for how long (docs/how-facts-are-computed.md)."""
    here, away = num(entry.get("playback_hours")), num(entry.get("remote_hours"))
    facts["played_back"] = here is not None or away is not None
    if not facts["played_back"]:
        return
    bits = 0.0
    if here is not None or int(entry.get("playback") or 0):
        rates = [camera["stream_rate"] for camera in cameras]
        if here is None or entry.get("playback") is None or None in rates:
            return
        bits += here * sum(sorted(rates)[::-1][: int(entry["playback"])])
    if away is not None or int(entry.get("viewers") or 0):
        if away is None or entry.get("viewers") is None or (int(entry["viewers"]) and sheet.get("outgoing") is None):
            return
        bits += away * (sheet["outgoing"] if int(entry["viewers"]) else 0.0)
    facts["reads"] = bits / 24
    if share is None:
        return
    facts["read_per_year"] = facts["reads"] / 8 * 31_536_000 / share
    if facts["written_per_year"] is not None:
        facts["moved_per_year"] = facts["written_per_year"] + facts["read_per_year"]


def _upkeep(facts, disks, recorder, growth):
    """Room to grow, with the largest disk in every bay; and how warm the disks get in the air that is written."""
    warmest = [num(each.get("temperature_max")) for each in disks]
    facts["temperature_max"] = min(warmest) if warmest and None not in warmest else None
    if recorder["ambient_max"] is not None and not recorder["ambient_max_assumed"]:
        facts["temperature"] = recorder["ambient_max"] + assumption("disk-warmth")
    bays, largest = facts["bays"], facts["largest_allowed"]
    if growth is None or None in (bays, largest) or facts["smallest"] is None:
        return
    if facts["redundancy"] == "raid10" and (bays - facts["spares"]) % 2:
        bays -= 1  # pairs only: one bay stays empty
    array = redundant(facts["redundancy"], [largest] * bays, facts["spares"])[2] if facts["spares"] <= bays else None
    facts["usable_most"] = (array or 0.0) * assumption("usable-share")


def frame_families(links):
    seen = set()
    open_ones = False
    for one in links:
        if one["link"]["outcome"] is None:
            open_ones = True
        elif pictured(one["link"]["outcome"]) and one["link"]["frame_family"]:
            seen.add(one["link"]["frame_family"])
    return None if open_ones and len(seen) < 2 else len(seen)


__all__ = ["family_of_rate", "frame_families", "planned", "record", "store"]
