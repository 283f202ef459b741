"""What a person loses by a change, by a list of our own: from facts of the site, and from what the parts state.

Nothing here knows the program's own list. A figure that was stated and is stated no longer is lost too, as
something that is not known.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

Data = dict[str, Any]
WORKS = ("sound_works", "control_works", "talk_back_works", "firmware_works", "sorted_motion_works")

WORDS = {
    "pixels": ("picture", "records", "pixel"),
    "acquired_fps": ("fps", "frames"),
    "recorded_fps": ("fps", "frames"),
    "sound_works": ("sound",),
    "control_works": ("control",),
    "talk_back_works": ("talk", "speak"),
    "firmware_works": ("firmware",),
    "sorted_motion_works": ("motion", "sorted"),
    "moves": ("mov", "pan", "tilt"),
    "microphone": ("microphone",),
    "lamp": ("lamp",),
    "lamp range": ("lamp",),
    "outdoor": ("outdoor", "indoor"),
    "impact": ("impact",),
    "water": ("water",),
    "cold": ("temperature",),
    "warm": ("temperature",),
    "long lens": ("lens",),
    "inputs": ("input",),
    "bays": ("bay",),
    "battery": ("battery",),
    "disks": ("run all the time", "continuous"),
}
"""How each loss may be called: one of these words, beside the name of what loses it."""


def named(loss: str, texts: list[str]) -> bool:
    """Whether one of these sentences names that loss of that entry."""
    subject, _, rest = loss.partition(" ")
    entry = subject.partition("/")[2]
    words = next(words for name, words in sorted(WORDS.items(), reverse=True) if rest.startswith(name))
    return any(entry in text and any(word in text for word in words) for text in texts)


def number(value: Any) -> float | None:
    """The number in front of a quantity as the catalogues here write them."""
    found = re.match(r"-?[\d.]+", str(value)) if value is not None else None
    return float(found[0]) if found else None


def felt(before: dict[str, Data], after: dict[str, Data]) -> Iterator[str]:
    """Of each camera: pixels, rate, view, sound, control that there were and are no more, or less."""
    for subject, was in before.items():
        now = after.get(subject)
        if now is None or subject.count("/") != 1 or not subject.startswith("cameras/"):
            continue
        one, other = was.get("settled") or {}, now.get("settled") or {}
        yield from less(subject, "pixels", _pixels(one), _pixels(other))
        for name in ("acquired_fps", "recorded_fps"):
            yield from less(subject, name, one.get(name), other.get(name))
        yield from (f"{subject} {name}" for name in WORKS if was.get(name) is True and now.get(name) is False)


def _pixels(settled: Data) -> float | None:
    width, height = settled.get("width"), settled.get("height")
    return None if width is None or height is None else float(width) * height


def less(subject: str, name: str, was: float | None, now: float | None) -> Iterator[str]:
    if was is not None and now is not None and now < was * (1 - 1e-9):
        yield f"{subject} {name}: {was:g} -> {now:g}"


def hurt(before: dict[str, Data], after: dict[str, Data]) -> Iterator[str]:
    """A device that sees far more than its nominal voltage after a change: 20 % is beyond any window stated here
    for cameras (common practice is 10 %), whether or not its part states one.
    """
    for subject, now in after.items():
        nominal, volts = now.get("volts_nominal"), now.get("volts_idle")
        if nominal and volts and volts > nominal * 1.26:
            was = before.get(subject, {}).get("volts_idle")
            if was is None or volts > was * 1.001:
                yield f"{subject} sees {volts:g} V of {nominal:g} V (was {was})"


def of_parts(before: Data, after: Data, parts: dict[str, Data]) -> Iterator[tuple[str, bool]]:
    """What the new part of an entry has less of, and whether that is only not known any more."""
    for group, stated in (("cameras", of_camera), ("recorders", of_recorder), ("supplies", of_supply)):
        for name, entry in before.get(group, {}).items():
            new = after.get(group, {}).get(name)
            if new is None or new["part"] == entry["part"] or entry["part"] not in parts:
                continue
            was, now = stated(parts[entry["part"]]), stated(parts.get(new["part"], {}))
            yield from fewer(f"{group}/{name}", was, now)
    yield from _disks(before, after, parts)


def _disks(before: Data, after: Data, parts: dict[str, Data]) -> Iterator[tuple[str, bool]]:
    for name, recorder in before.get("recorders", {}).items():
        new = after.get("recorders", {}).get(name, {}).get("disks")
        old = recorder.get("disks")
        if not old or not new or old == new:
            continue
        if any(parts.get(each, {}).get("continuous") is True for each in old):
            gone = [
                each for each in new if each not in old and each in parts and parts[each].get("continuous") is not True
            ]
            yield from (
                (f"recorders/{name} disks {each} for continuous use", "continuous" not in parts[each]) for each in gone
            )


def fewer(subject: str, was: dict[str, float], now: dict[str, float]) -> Iterator[tuple[str, bool]]:
    """Of figures where more is more."""
    for name, value in was.items():
        if value and name not in now:
            yield f"{subject} {name}: {value:g} -> not known", True
        elif name in now and now[name] < value:
            yield f"{subject} {name}: {value:g} -> {now[name]:g}", False


def of_camera(part: Data) -> dict[str, float]:
    """Figures of a camera where more is more; only what is stated."""
    housing, night, optics = (part.get(name, {}) for name in ("housing", "night", "optics"))
    found: dict[str, float | None] = {
        "moves": _yes(part.get("control", {}).get("moves")),
        "microphone": _yes(part.get("sound", {}).get("microphone")),
        "lamp": None if "lamp" not in night else float(night["lamp"] != "none"),
        "lamp range": number(night.get("lamp_range")) if night.get("lamp") != "none" else None,
        "outdoor": None if "rated" not in housing else float(housing["rated"] == "outdoor"),
        "impact": float(housing["ik"][2:]) if "ik" in housing else None,
        "water": float(housing["ip"][-1]) if "ip" in housing else None,
        "cold": -(number(housing.get("temperature_min")) or 0) if "temperature_min" in housing else None,
        "warm": number(housing.get("temperature_max")),
        "long lens": number(optics.get("focal_max", optics.get("focal_min"))),  # one figure alone is a fixed lens
        "pixels": most_pixels(part),
    }
    return {name: value for name, value in found.items() if value is not None}


def of_recorder(part: Data) -> dict[str, float]:
    last = [str(group["channels"]).rpartition("-")[2] for group in part.get("inputs", ())]
    found = {"inputs": number(last[-1]) if last else None, "bays": number(part.get("bays"))}
    return {name: value for name, value in found.items() if value is not None}


def of_supply(part: Data) -> dict[str, float]:
    backed = _yes(part.get("battery_backed"))
    return {} if backed is None else {"battery": backed}


def _yes(value: Any) -> float | None:
    return None if value is None else float(bool(value))


def most_pixels(part: Data) -> float | None:
    modes = [mode for row in part.get("emits", ()) for mode in row["mode"]]
    modes += [part["network"]["mode"]] if "network" in part else []
    sizes = [re.match(r"(\d+)x(\d+)", mode) for mode in modes]
    return max((float(each[1]) * float(each[2]) for each in sizes if each), default=None)
