"""What settles, and what is recorded of it."""

from __future__ import annotations

from ..threes import at_least, at_most, every, is_, judged, known, least_of, no, same, some, under
from .cables import pictured
from .devices import sent_into


def sent(link):
    return every(link["input"]["exists"], link["emits_set_mode"])


def whole(link):
    """A picture that arrives at full width."""
    return every(pictured(link), no(is_(link["outcome"], "reduced-width")))


def alone(link):
    """The rate that a channel would have if no other shared the encoder."""
    return least_of(link["acquired_fps"], link["channel_ceiling"])


def not_the_budgets_doing(link):
    """True unless the shared budget is what keeps a channel below the rate that is wanted of it."""
    wanted = link["camera"]["wants_rate"]
    if wanted is None:
        return True
    shared = no(is_(link["limited_by"], "shared-budget"))
    return some(shared, under(alone(link), wanted), at_least(link["recorded_fps"], wanted))


# Recorded


def encode_total_exceeded(recorder):
    when = every(*map(not_the_budgets_doing, recorder["links"]))
    return judged(at_most(recorder["encode_demand"], recorder["encode_total"]), when)


def full_width_wanted(camera):
    if not (camera["wants_full_width"] and camera["has_video"]):
        return judged(None, False)
    link = camera["link"]
    whole = every(no(is_(link["outcome"], "reduced-width")), no(link["recorded_reduced"]))
    return judged(whole, every(sent_into(camera), pictured(link)))


def rate_below_wanted(camera):
    wanted = camera["wants_rate"]
    if wanted is None or not camera["has_video"]:
        return judged(None, False)
    link = camera["link"]
    own_doing = some(
        no(is_(link["limited_by"], "shared-budget")), under(alone(link), wanted), at_least(camera["recorded_fps"], wanted)
    )
    enough = every(at_least(alone(link), wanted), at_least(camera["recorded_fps"], wanted))
    return judged(enough, every(sent_into(camera), pictured(link), own_doing))


def rate_beyond_level(camera):
    joined = every(sent_into(camera)) if camera["has_video"] else camera["has_network"]
    return judged(at_most(camera["stream_rate"], camera["level_rate_max"]), joined)


def rate_cut_by_channel(link):
    wanted = link["camera"]["wants_rate"]
    enough = True if wanted is None else at_least(link["channel_ceiling"], wanted)
    uncut = some(at_least(link["channel_ceiling"], link["acquired_fps"]), no(is_(link["limited_by"], "channel-ceiling")))
    return judged(uncut, every(sent(link), pictured(link), enough))


def shared_budget_below_wanted(recorder):
    when = any(known(link["camera"]["wants_rate"]) for link in recorder["links"])
    return judged(every(*map(not_the_budgets_doing, recorder["links"])), when)


def stored_at_half_width(link):
    if link["camera"]["wants_full_width"]:
        return judged(None, False)
    return judged(no(link["recorded_reduced"]), every(sent(link), whole(link)))


# Settled


def asked_down(link):
    return judged(no(is_(link["outcome"], "asked-down")), sent(link))


def better_mode_attainable(link):
    when = every(sent(link), whole(link))
    return judged(at_least(link["pixels"], link["best_pixels"]), when)


def family_not_taken(link):
    return judged(link["family_taken"], sent(link))


def frame_families_mixed(recorder):
    own = [is_(link["frame_family"], 0, recorder["site"]["video_rate"]) for link in recorder["links"]]
    return judged(some(at_most(recorder["frame_families"], 1), every(*own)))


def frame_family_of_country(link):
    families = link["recorder"]["frame_families"]
    when = every(sent(link), pictured(link), no(is_(link["frame_family"], 0)), families is None or families <= 1)
    return judged(same(link["frame_family"], link["site"]["video_rate"]), when)


def needs_setting(link):
    return judged(no(is_(link["outcome"], "needs-setting")), every(sent(link), link["family_taken"] is not False))


def no_picture(link):
    return judged(no(is_(link["outcome"], "no-picture")), every(sent(link), link["family_taken"] is not False))


def reduced_width(link):
    return judged(no(is_(link["outcome"], "reduced-width")), every(sent(link), not link["camera"]["wants_full_width"]))


def set_mode_not_emitted(link):
    return judged(link["emits_set_mode"])


RULES = {
    "picture/encode-total-exceeded": ("recorder", encode_total_exceeded),
    "picture/full-width-wanted": ("camera", full_width_wanted),
    "picture/rate-below-wanted": ("camera", rate_below_wanted),
    "picture/rate-cut-by-channel": ("link", rate_cut_by_channel),
    "picture/shared-budget-below-wanted": ("recorder", shared_budget_below_wanted),
    "picture/stored-at-half-width": ("link", stored_at_half_width),
    "storage/rate-beyond-level": ("camera", rate_beyond_level),
    "signal/asked-down": ("link", asked_down),
    "signal/better-mode-attainable": ("link", better_mode_attainable),
    "signal/family-not-taken": ("link", family_not_taken),
    "signal/frame-families-mixed": ("recorder", frame_families_mixed),
    "signal/frame-family-of-country": ("link", frame_family_of_country),
    "signal/needs-setting": ("link", needs_setting),
    "signal/no-picture": ("link", no_picture),
    "signal/reduced-width": ("link", reduced_width),
    "signal/set-mode-not-emitted": ("link", set_mode_not_emitted),
}
