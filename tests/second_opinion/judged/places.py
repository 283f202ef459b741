"""Where devices stand: air, water, blows, salt, sun, earths; areas and labels."""

from __future__ import annotations

from ..threes import at_least, at_most, every, is_, judged, known, less, no, over, some, under


def below_class(device):
    """The datasheet covers the class of the place, at each end that nobody wrote."""
    cold = less(device["ambient_min"], device["temperature_min"]) if device["ambient_min_assumed"] else 0.0
    warm = less(device["temperature_max"], device["ambient_max"]) if device["ambient_max_assumed"] else 0.0
    return every(at_least(cold, 0), at_least(warm, 0))


def camera_below_class(camera):
    return judged(below_class(camera), camera["ambient_min_assumed"] or camera["ambient_max_assumed"])


def camera_too_cold(camera):
    return judged(at_least(camera["ambient_min"], camera["temperature_min"]), not camera["ambient_min_assumed"])


def camera_too_hot(camera):
    return judged(at_most(camera["ambient_max"], camera["temperature_max"]), not camera["ambient_max_assumed"])


def recorder_below_class(recorder):
    return judged(below_class(recorder), recorder["ambient_min_assumed"] or recorder["ambient_max_assumed"])


def recorder_too_cold(recorder):
    return judged(at_least(recorder["ambient_min"], recorder["temperature_min"]), not recorder["ambient_min_assumed"])


def recorder_too_hot(recorder):
    return judged(at_most(recorder["ambient_max"], recorder["temperature_max"]), not recorder["ambient_max_assumed"])


def impact_rating_low(camera):
    return judged(at_least(camera["ik_joules"], 20), is_(camera["reach"], "hand"))


def indoor_camera_outdoors(camera):
    return judged(no(is_(camera["rated"], "indoor")), is_(camera["setting"], "outdoor", "sheltered"))


def water_rating_low(camera):
    enough = every(at_least(camera["ip_water"], 6), at_least(camera["ip_solid"], 6))
    return judged(enough, every(is_(camera["setting"], "outdoor"), camera["rated"] != "indoor"))


def water_jets_unproven(camera):
    covered, water = camera["ip_water_covered"], camera["ip_water"]
    proven = None if covered is None or water is None else water <= 6 or 6 in covered
    return judged(proven, every(is_(camera["setting"], "outdoor"), camera["rated"] != "indoor"))


def coastal_housing(exposure):
    return judged(exposure["coastal_rated"], exposure["coastal"] and exposure["device"] == "camera")


def condensation(exposure):
    return judged(exposure["condensation_rated"], exposure["damp"] and exposure["device"] == "camera")


def device_outdoors(exposure):
    when = exposure["device"] != "camera" and exposure["setting"] in ("outdoor", "sheltered")
    return judged(is_(exposure["rated"], "outdoor"), when)


def hazardous_area(exposure):
    return judged(exposure["hazardous"] is not True, exposure["hazardous"] is not None)


def mast_without_arrester(exposure):
    when = exposure["device"] == "camera" and exposure["setting"] == "outdoor" and known(exposure["height"])
    return judged(some(under(exposure["height"], 6), exposure["arrested"]), when)


def sun_margin(exposure):
    asked = exposure["sun"] and exposure["device"] == "camera" and known(exposure["ambient_max"])
    return judged(at_least(exposure["sun_margin"], 10), every(asked, at_least(exposure["sun_margin"], 0)))


def supply_too_hot(exposure):
    when = exposure["device"] == "supply" and known(exposure["ambient_max"])
    return judged(at_most(exposure["ambient_max"], exposure["temperature_max"]), when)


def wash_down(exposure):
    return judged(exposure["jets_met"], exposure["washed"])


def fed_by(link):
    """The supply at the root of a camera's power: 'none' where a network port powers it, None where nobody wrote any."""
    feed = link["camera"]["feed"]
    if feed is None:
        return "none" if link["camera"]["has_power"] else None
    return feed["source"]


def joined_by_minus(recorder, link):
    """Past the isolator: one supply for the camera and the recorder, or a camera whose coax has none."""
    supply = fed_by(link)
    if supply is None:
        return None
    if supply == "none" or supply["gives"] != "dc":
        return False
    near = []
    for other in recorder["links"]:
        if other is not link:
            theirs = fed_by(other)
            near.append(every(no(other["isolated"]), None if theirs is None else theirs is supply))
    return some(recorder["name"] in supply["recorders_fed"], *near)


def earths_differ(recorder):
    apart = [link for link in recorder["links"] if link["other_earth"]]
    parted = [every(link["isolated"], no(joined_by_minus(recorder, link))) for link in apart]
    return judged(every(*parted), bool(apart))


def disks_too_hot(disks):
    when = every(at_least(disks["disks"], 1), known(disks["temperature"]))
    return judged(at_most(disks["temperature"], disks["temperature_max"]), when)


def area_on_one_output(area):
    return judged(at_least(area["feeders"], 2), area["camera_count"] > 1)


def area_lost_with_one_part(area):
    """Of two cameras and more, fed from two outputs and more: no part but the recorder takes them all."""
    when = every(area["camera_count"] > 1, at_least(area["feeders"], 2))
    return judged(at_most(area["shared_parts"], 0), when)


def label_twice(site):
    return judged(site["labels_shared"] == 0, site["cameras_labelled"] > 1)


def labels_missing(site):
    return judged(site["cameras_labelled"] == site["camera_count"], site["cameras_labelled"] > 0)


def cabinet_warm(cabinet):
    return judged(at_most(cabinet["air"], 40))


def cabinet_device_too_hot(housed):
    heats = over(housed["heat"], 0)
    when = some(is_(housed["device"], "switch"), every(is_(housed["device"], "box"), heats))
    return judged(at_most(housed["air"], housed["temperature_max"]), when)


def battery_without_vents(cabinet):
    return judged(at_least(cabinet["vents"], cabinet["vents_wanted"]), over(cabinet["cells_hours"], 0))


RULES = {
    "place/cabinet-warm": ("cabinet", cabinet_warm),
    "place/cabinet-device-too-hot": ("housed", cabinet_device_too_hot),
    "place/battery-without-vents": ("cabinet", battery_without_vents),
    "place/camera-below-class": ("camera", camera_below_class),
    "place/camera-too-cold": ("camera", camera_too_cold),
    "place/camera-too-hot": ("camera", camera_too_hot),
    "place/coastal-housing": ("exposure", coastal_housing),
    "place/condensation": ("exposure", condensation),
    "place/device-outdoors": ("exposure", device_outdoors),
    "place/disks-too-hot": ("disk_group", disks_too_hot),
    "place/earths-differ": ("recorder", earths_differ),
    "place/hazardous-area": ("exposure", hazardous_area),
    "place/impact-rating-low": ("camera", impact_rating_low),
    "place/indoor-camera-outdoors": ("camera", indoor_camera_outdoors),
    "place/mast-without-arrester": ("exposure", mast_without_arrester),
    "place/recorder-below-class": ("recorder", recorder_below_class),
    "place/recorder-too-cold": ("recorder", recorder_too_cold),
    "place/recorder-too-hot": ("recorder", recorder_too_hot),
    "place/sun-margin": ("exposure", sun_margin),
    "place/supply-too-hot": ("exposure", supply_too_hot),
    "place/wash-down": ("exposure", wash_down),
    "place/water-rating-low": ("camera", water_rating_low),
    "place/water-jets-unproven": ("camera", water_jets_unproven),
    "practice/area-on-one-output": ("area", area_on_one_output),
    "practice/area-lost-with-one-part": ("area", area_lost_with_one_part),
    "practice/label-twice": ("site", label_twice),
    "practice/labels-missing": ("site", labels_missing),
}
