"""Cables, joints and boxes on the way of a picture; jackets; laid cables."""

from __future__ import annotations

from ..threes import at_least, at_most, every, is_, judged, known, less, no, times

SOUND_MEDIA = ("coax", "pair", "network")


# Pieces of a way


def amplifier_overloaded(hop):
    return judged(at_least(hop["loss_before"], hop["loss_before_least"]), hop["does"] == "amplifier")


def box_band_narrow(hop):
    return judged(at_most(hop["top_frequency"], hop["frequency_max"]), hop["is_box"] and known(hop["frequency_max"]))


def box_not_for_family(hop):
    return judged(hop["family_passed"], hop["is_box"] and known(hop["families"]))


def box_reach_exceeded(hop):
    return judged(at_most(hop["path_metres"], hop["reach"]), hop["is_box"] and known(hop["reach"]))


def pair_category_low(hop):
    return judged(hop["frequency_covered"], hop["is_run"] and hop["medium"] in ("pair", "network"))


def measured_loss_high(hop):
    usual = hop["loss_of_type"]
    most = None if usual is None else usual * 1.25 + 1
    return judged(at_most(hop["loss"], most), every(hop["is_run"], hop["loss_was_measured"]))


def box_unpowered(box):
    return judged(box["has_power"], box["takes_power"] and box["used"] > 0)


def box_unused(box):
    return judged(box["used"] > 0)


# Whole ways


def only_picture_cables(link):
    """Every run is one that could carry a picture; not known where nobody wrote the way."""
    hops = link["hops"]
    return None if hops is None else all(hop["is_box"] or hop["medium"] in SOUND_MEDIA for hop in hops)


def pictured(link):
    taken = link["family_taken"] is not False
    return every(link["input"]["exists"], taken, no(is_(link["outcome"], "no-picture", "needs-setting")))


def clad_steel_centre(link):
    return judged(no(link["clad_steel"]))


def digital_near_cliff(link):
    within = at_most(link["loss"], link["loss_limit"])
    when = every(is_(link["family"], "sdi"), pictured(link), within)
    return judged(at_least(less(link["loss_limit"], link["loss"]), 3.0), when)


def joint_count(link):
    return judged(at_most(link["joints"], 3))


def loss_beyond_limit(link):
    return judged(at_most(link["loss"], link["loss_limit"]), pictured(link))


def loss_near_limit(link):
    within = at_most(link["loss"], link["loss_limit"])
    when = every(no(is_(link["family"], "sdi")), pictured(link), within)
    return judged(at_most(link["loss"], times(link["loss_limit"], 0.9)), when)


def media_mixed_without_balun(link):
    return judged(no(link["mixed_media"]), only_picture_cables(link))


def wrong_impedance(link):
    return judged(no(link["impedance_wrong"]), only_picture_cables(link))


# Jackets and runs


def alternating_beside_picture(sheath):
    return judged(no(sheath["alternating"]), sheath["pictures"] > 0 and sheath["powers"] > 0)


def pairs_exceeded(sheath):
    return judged(at_most(sheath["pairs_used"], sheath["pairs"]))


def sheath_of_two_cables(sheath):
    return judged(sheath["cables"] < 2)


def indoor_cable_outdoors(run):
    return judged(no(is_(run["rated"], "indoor")), every(is_(run["setting"], "outdoor"), not run["told_above"]))


def clad_pair(run):
    """Cable of pairs, told once where the power over it is written too."""
    return judged(is_(run["conductor_material"], "copper"), run["paired"] and not run["told_above"])


def not_for_this_use(run):
    return judged(run["fits_use"])


def beside_mains(laying):
    far = laying["beside_mains"]
    asked = known(far) and not known(laying["mains_circuits"]) and not laying["told_above"]
    return judged(at_least(far, 0.05 if laying["screened"] else 0.2), asked)


def mains_circuits_beside(laying):
    far, counted = laying["beside_mains"], known(laying["mains_circuits"])
    return judged(at_least(far, laying["separation"]), known(far) and counted and not laying["told_above"])


def fire_class_not_stated(laying):
    when = known(laying["space"]) and laying["space"] != "general" and not laying["told_above"]
    return judged(known(laying["fire_class"]), when)


def fire_class_review(laying):
    told = known(laying["fire_class"]) or laying["space"] == "general"
    low = laying["fire_below"] is True
    return judged(laying["space"] == "general", known(laying["space"]) and told and not laying["told_above"] and not low)


def fire_class_low(laying):
    asked = known(laying["space"]) and laying["space"] != "general" and known(laying["fire_class"])
    return judged(no(laying["fire_below"]), asked and not laying["told_above"])


def bend_too_tight(laying):
    return judged(at_least(laying["bend"], laying["bend_least"]), known(laying["bend"]) and not laying["told_above"])


def not_for_burial(laying):
    return judged(is_(laying["rated"], "burial"), laying["buried"] and not laying["told_above"])


RULES = {
    "cable/alternating-beside-picture": ("sheath", alternating_beside_picture),
    "cable/amplifier-overloaded": ("hop", amplifier_overloaded),
    "cable/box-band-narrow": ("hop", box_band_narrow),
    "cable/box-not-for-family": ("hop", box_not_for_family),
    "cable/box-reach-exceeded": ("hop", box_reach_exceeded),
    "cable/box-unpowered": ("box", box_unpowered),
    "cable/box-unused": ("box", box_unused),
    "cable/clad-pair": ("run", clad_pair),
    "cable/clad-steel-centre": ("link", clad_steel_centre),
    "cable/digital-near-cliff": ("link", digital_near_cliff),
    "cable/indoor-cable-outdoors": ("run", indoor_cable_outdoors),
    "cable/joint-count": ("link", joint_count),
    "cable/loss-beyond-limit": ("link", loss_beyond_limit),
    "cable/loss-near-limit": ("link", loss_near_limit),
    "cable/measured-loss-high": ("hop", measured_loss_high),
    "cable/media-mixed-without-balun": ("link", media_mixed_without_balun),
    "cable/not-for-this-use": ("run", not_for_this_use),
    "cable/pair-category-low": ("hop", pair_category_low),
    "cable/pairs-exceeded": ("sheath", pairs_exceeded),
    "cable/sheath-of-two-cables": ("sheath", sheath_of_two_cables),
    "cable/wrong-impedance": ("link", wrong_impedance),
    "place/beside-mains": ("laying", beside_mains),
    "cable/bend-too-tight": ("laying", bend_too_tight),
    "place/fire-class-low": ("laying", fire_class_low),
    "place/mains-circuits-beside": ("laying", mains_circuits_beside),
    "place/fire-class-not-stated": ("laying", fire_class_not_stated),
    "place/fire-class-review": ("laying", fire_class_review),
    "place/not-for-burial": ("laying", not_for_burial),
}

