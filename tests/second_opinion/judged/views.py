"""What a camera is to see."""

from __future__ import annotations

from ..threes import at_least, at_most, every, is_, judged, known, no, over, some, times

TELLING_WHO = ("recognise", "identify", "inspect", "characterise", "validate", "scrutinise")


def asked(view):
    """A class of view that there is, and a picture."""
    return every(known(view["see"]), view["class_known"], over(view["columns"], 0))


def halved_only(view):
    """Full width would have reached what is wanted."""
    return every(view["halved"], at_least(view["density_full"], view["density_wanted"]))


def lit(view):
    """The light that there is at night is enough without a lamp."""
    return at_least(view["night_light"], view["least_light"])


def class_unknown(view):
    return judged(view["class_known"], known(view["see"]))


def dark_at_night(view):
    return judged(lit(view), every(view["night"], not view["colour_night"], is_(view["lamp"], "none")))


def density_halved(view):
    return judged(at_least(view["density"], view["density_wanted"]), every(asked(view), halved_only(view)))


def density_low(view):
    reached = at_least(view["density"], view["density_wanted"])
    return judged(reached, every(asked(view), some(no(halved_only(view)), reached)))


def density_near(view):
    reached = at_least(view["density"], view["density_wanted"])
    return judged(at_least(view["density"], times(view["density_wanted"], 1.1)), every(asked(view), reached))


def edition_withdrawn(view):
    reached = at_least(view["density"], view["density_wanted"])
    present = some(is_(view["edition"], "2025"), at_least(view["density"], view["density_present"]))
    return judged(present, every(known(view["see"]), view["class_known"], reached))


def lamp_seen(view):
    return judged(no(view["lamp_seen"]), view["overlooked"])


def lens_out_of_range(view):
    within = every(at_least(view["focal"], view["focal_min"]), at_most(view["focal"], view["focal_max"]))
    return judged(within, view["focal_set"])


def looks_down_steeply(view):
    return judged(at_most(view["look_down"], 30), known(view["look_down"]) and view["see"] in TELLING_WHO)


def night_range_short(view):
    lamp = view["lamp"]
    useless = every(view["colour_night"], is_(lamp, "infrared"))
    bright = known(view["night_light"]) and known(view["least_light"]) and lit(view)
    when = every(view["night"], no(is_(lamp, "none")), no(useless), known(view["distance"]), not bright)
    return judged(at_most(view["slant"], view["lamp_range"]), when)


def no_colour_at_night(view):
    return judged(lit(view), every(view["colour_night"], no(is_(view["lamp"], "white", "both"))))


def pictured(view):
    return over(view["columns"], 0)


def plate_blurred(view):
    return judged(at_most(view["plate_blur"], times(view["plate_pixels"], 0.09)), every(view["wants_plate"], pictured(view)))


def plate_seen_aslant(view):
    return judged(at_most(view["plate_angle"], 30), known(view["plate_angle"]))


def plate_too_small(view):
    return judged(at_least(view["plate_pixels"], 15), every(view["wants_plate"], pictured(view)))


def face_too_small(view):
    return judged(at_least(view["face_pixels"], view["face_wanted"]), every(view["wants_face"], pictured(view)))


def out_of_focus(view):
    return judged(at_most(view["focus_spread"], 2), every(known(view["focus"]), pictured(view)))


def depth_too_shallow(view):
    return judged(at_most(view["focus_blur"], 2), every(view["night"], known(view["near"]), pictured(view)))


def lamp_on_near_surface(view):
    when = every(view["night"], known(view["lit_surface"]), no(is_(view["lamp"], "none")))
    return judged(at_most(view["surface_ratio"], 100), when)


def lamp_behind_glass(view):
    return judged(is_(view["lamp"], "none"), every(view["night"], view["behind_glass"]))


def scene_too_narrow(view):
    return judged(at_least(view["width"], view["width_wanted"]), known(view["width_wanted"]))


def washed_out_near(view):
    when = every(view["night"], known(view["near"]), no(is_(view["lamp"], "none")))
    return judged(at_most(view["near_ratio"], 100), when)


RULES = {
    "view/class-unknown": ("view", class_unknown),
    "view/dark-at-night": ("view", dark_at_night),
    "view/density-halved": ("view", density_halved),
    "view/density-low": ("view", density_low),
    "view/edition-withdrawn": ("view", edition_withdrawn),
    "view/plate-blurred": ("view", plate_blurred),
    "view/plate-seen-aslant": ("view", plate_seen_aslant),
    "view/plate-too-small": ("view", plate_too_small),
    "view/face-too-small": ("view", face_too_small),
    "view/out-of-focus": ("view", out_of_focus),
    "view/depth-too-shallow": ("view", depth_too_shallow),
    "view/lamp-on-near-surface": ("view", lamp_on_near_surface),
    "view/lamp-behind-glass": ("view", lamp_behind_glass),
    "view/density-near": ("view", density_near),
    "view/lamp-seen": ("view", lamp_seen),
    "view/lens-out-of-range": ("view", lens_out_of_range),
    "view/looks-down-steeply": ("view", looks_down_steeply),
    "view/night-range-short": ("view", night_range_short),
    "view/no-colour-at-night": ("view", no_colour_at_night),
    "view/scene-too-narrow": ("view", scene_too_narrow),
    "view/washed-out-near": ("view", washed_out_near),
}
