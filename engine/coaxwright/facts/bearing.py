"""Which facts each assumed value bears on: kinds of sheet and their fields, by name of the row in table `assumptions`.

Found by trial (a hundredth more, on every example and every case) and by reading for rows that are words; the test
`tests/facts/test_bearing.py` tries again. A row bears on a fact where a change of its value can change that fact.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from coaxwright.facts.assumed import Used

Field = tuple[str, str]

_SOLVED = """
battery.amps battery.hours battery.hours_most device_feed.amps_day device_feed.amps_night device_feed.speaks_for_collapse
device_feed.volts_day device_feed.volts_night feed.amps_day feed.amps_night feed.collapsed feed.collapsed_by_day
feed.collapsed_by_night feed.drop_night feed.margin_least feed.margin_night feed.speaks_for_collapse feed.volts_battery
feed.volts_crest_night
feed.volts_day feed.volts_night junction.amps_day junction.amps_night junction.volts_day junction.volts_night
output.amps_day output.amps_night output.amps_start run.amps_night supply.amps_day supply.amps_night supply.amps_start
supply.collapsed supply.margin_night supply.margin_working supply.watts_night
ups.watts ups.volt_amps ups.watts_headroom ups.hours standby.hours
"""
_NOMINAL = "supply.volts feed.volts_idle device_feed.volts_idle"
_OHMS = "device_feed.ohms_total feed.ohms feed.ohms_total feed.temperature poe_port.ohms poe_port.volts_night"
_CARRIES = "run.air run.amps_max run.device_max run.temperature"
_LOSS = "hop.loss hop.loss_before link.loss link.reach link.reach_low link.reach_high"
_KEPT = "camera.days_kept disk_group.days disk_group.days_held disk_group.days_least disk_group.days_most"
_MEAN = f"""{_KEPT} disk_group.needed disk_group.written_per_year recorder.bitrate_mean recorder.bitrate_mean_low
recorder.bitrate_mean_high"""
_RATE = f"{_MEAN} camera.bitrate camera.bitrate_low camera.bitrate_high disk_group.days_continuous recorder.bitrate"
_ENCODED = f"""{_RATE} camera.recorded_fps link.recorded_fps link.limited_by link.level_rate link.level
recorder.encode_used recorder.level_rate"""
_STORED = f"{_KEPT} disk_group.days_continuous disk_group.usable disk_group.usable_most"
_MEETS = "feed.kinds_meet device_feed.kinds_meet camera.power_kind device_feed.power_kind supply.gives"
_AIR = "camera.ambient_max camera.ambient_min recorder.ambient_max recorder.ambient_min battery.temperature"
_SEEN = """view.density view.density_full view.f_number_wanted view.light_short view.look_down view.slant view.width
view.reach_left"""
_ON_UPS = "ups.watts ups.volt_amps ups.watts_headroom ups.hours standby.hours"
_CAPACITY = "battery.hours battery.hours_most battery.recharge_hours battery.usable standby.hours"

_WARM = "supply.air supply.share_warm supply.amps_warm output.share_warm output.amps_warm"

_BEARS: Mapping[str, str] = {
    "battery-cold-loss": _CAPACITY,
    "battery-end": "battery.volts_end battery.hours battery.hours_most feed.volts_battery standby.hours",
    "battery-float-greatest": "supply.volts_float feed.volts_idle device_feed.volts_idle",
    "battery-float-least": f"supply.float_least {_NOMINAL} {_SOLVED}",
    "battery-rated-hours": "battery.hours battery.hours_most battery.rated_hours standby.hours",
    "battery-remaining": _CAPACITY,
    "bits-per-pixel-h264": _RATE,
    "bits-per-pixel-h265": _RATE,
    "charge-efficiency": "battery.recharge_hours",
    "coax-by-size": f"{_LOSS} link.clad_steel run.centre",
    "coax-loss-temperature-coefficient": _LOSS,
    "coax-maker": "camera.sound_works camera.sound_cause camera.control_works camera.control_cause",
    "codec": _RATE,
    "conductor-current": "run.amps_max run.device_max run.amps_basis",
    "conductor-temperature": f"{_SOLVED} {_OHMS} {_CARRIES} {_LOSS} poe_port.watts_given poe_source.watts_night "
    "poe_port.amps_pair poe_port.bundle_rise",
    "copper-temperature-coefficient": f"{_SOLVED} {_OHMS}",
    "device-derating": "output.share_warm output.amps_warm",
    "disk-warmth": "disk_group.temperature",
    "encoder-sharing": _ENCODED,
    "encoder-total": _ENCODED,
    "environment-indoor": f"{_AIR} {_CAPACITY} {_WARM}",
    "environment-outdoor": f"{_AIR} {_CAPACITY} {_WARM}",
    "environment-sheltered": f"{_AIR} {_CAPACITY} {_WARM}",
    "joint-loss": _LOSS,
    "lampless-night": f"camera.watts_night device_feed.watts_night {_SOLVED}",
    "line-of-sight": _SEEN,
    "load-kind": _SOLVED,
    "mains-power-factor": "ups.volt_amps ups.watts_headroom",
    "motion-factor": _RATE,
    "motion-share": _MEAN,
    "motor-power": f"camera.watts_day camera.watts_night {_SOLVED}",
    "network-codec": _RATE,
    "night-share": _MEAN,
    "night-share-most": f"{_MEAN} camera.bitrate_low camera.bitrate_high",
    "pair-loss-temperature-coefficient": _LOSS,
    "peukert-exponent": "battery.hours battery.hours_most standby.hours",
    "power-factor": _SOLVED,
    "power-kind": f"{_MEETS} {_SOLVED}",
    "rebuild-rate": "disk_group.rebuild",
    "recharge-share": "battery.recharge_hours",
    "schedule": _MEAN,
    "sorted-motion-share": _MEAN,
    "source-resistance": _SOLVED,
    "supply-derating": "supply.share_warm supply.amps_warm",
    "supply-efficiency": _ON_UPS,
    "supply-trim": f"{_NOMINAL} {_SOLVED}",
    "target-height": _SEEN,
    "usable-share": _STORED,
    "video-rate": "site.video_rate link.emitted_fps link.acquired_fps link.frame_family",
}
BEARS: Mapping[str, frozenset[Field]] = {
    name: frozenset((word.partition(".")[0], word.partition(".")[2]) for word in words.split())
    for name, words in _BEARS.items()
}
"""The fields that each assumption bears on, as kind of sheet and field."""

_STOOD_IN = {"ambient_min": "ambient_min_assumed", "ambient_max": "ambient_max_assumed"}
"""Facts that have a fact beside them which says that they were assumed."""


def bearing(fields: Iterable[Field]) -> frozenset[str]:
    """Names of all assumptions that can bear on any of these fields."""
    wanted = set(fields)
    return frozenset(name for name, reached in BEARS.items() if not wanted.isdisjoint(reached))


def taken_for(sheet: Any, field: str, used: Iterable[Used]) -> Iterator[Used]:
    """Those of the assumptions used that bear on this field of this sheet, as far as the sheet itself can tell."""
    flag = _STOOD_IN.get(field)
    if flag is not None and sheet.known(flag) is False:
        return
    place = (sheet.kind, field)
    yield from (each for each in used if place in BEARS.get(each.assumption.name, frozenset()))
