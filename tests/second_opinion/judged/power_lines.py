"""Power at cameras and other devices, along runs and junctions, from network ports apart."""

from __future__ import annotations

from ..threes import at_least, at_most, every, held, is_, judged, known, no, over, same, some, times, under


def fed(feed):
    """Current of the right kind, and a working voltage at night."""
    return every(feed["kinds_meet"], no(feed["collapsed_by_night"]))


def held_at_night(feed):
    return every(fed(feed), at_least(feed["volts_night"], feed["load"]["volts_min"]))


def camera_unpowered(camera):
    return judged(camera["has_power"])


def collapse(feed):
    """Told once for all that go dark together."""
    return judged(no(feed["collapsed"]), every(feed["kinds_meet"], feed["speaks_for_collapse"]))


def wet_contact_voltage(feed):
    source = feed["source"]
    return judged(at_most(feed["volts_idle"], None if source is None else source["wet_volts"]), feed["wet"])


def over_coax_without_injector(feed):
    return judged(feed["injected"], feed["over_coax"])


def kinds_do_not_meet(feed):
    return judged(feed["kinds_meet"])


def overvoltage(feed):
    """Too much is too much of any kind; within the figure says nothing of another kind."""
    within = at_most(feed["volts_idle"], feed["load"]["volts_max"])
    return judged(within, some(feed["kinds_meet"], no(within)))


def plug_does_not_fit(feed):
    if feed["source"] is None:
        return judged(same(None, None), every(None, feed["own_output"], known(feed["load"]["plug"])))
    when = known(feed["source"]["plug"]) and feed["own_output"] and known(feed["load"]["plug"])
    return judged(same(feed["load"]["plug"], feed["source"]["plug"]), when)


def plug_polarity(feed):
    source = feed["source"]
    if source is None:
        return judged(None, every(feed["own_output"], None, known(feed["load"]["polarity"])))
    when = feed["own_output"] and source["gives"] == "dc" and known(feed["load"]["polarity"]) and known(source["polarity"])
    return judged(same(feed["load"]["polarity"], source["polarity"]), when)


def polarity_unprotected(feed):
    own, source = feed["load"]["polarity_protected"], feed["source"]
    gives = None if source is None else source["gives"] == "dc"
    return judged(own, every(known(own), feed["kinds_meet"], gives))


def undervoltage(feed):
    return judged(at_least(feed["volts_night"], feed["load"]["volts_min"]), fed(feed))


def alternating(feed):
    return None if feed["source"] is None else feed["source"]["gives"] == "ac"


def undervoltage_rectifier(feed):
    """What a meter shows may be too low already; then that is said."""
    low = under(feed["volts_night"], feed["load"]["volts_min"])
    return judged(at_least(feed["volts_crest_night"], feed["load"]["volts_min"]), every(alternating(feed), fed(feed), no(low)))


def overvoltage_without_load(feed):
    """Nominal and regulation, on mains that are a tenth high; too much on nominal mains is said already."""
    source, most = feed["source"], feed["load"]["volts_max"]
    rise = None if source is None else source["regulation"]
    unloaded = None if rise is None else source["volts_nominal"] * (1 + rise) * (1 + 0.1)
    told = known(most) and known(feed["volts_idle"]) and feed["volts_idle"] > most
    return judged(at_most(unloaded, most), every(alternating(feed), feed["kinds_meet"], not told))


def undervoltage_by_day(feed):
    works = every(feed["kinds_meet"], no(some(feed["collapsed_by_day"], feed["collapsed_by_night"])))
    when = every(known(feed["volts_day"]), works, under(feed["volts_day"], feed["volts_night"]))
    return judged(at_least(feed["volts_day"], feed["load"]["volts_min"]), when)


def undervoltage_near(feed):
    return judged(at_least(feed["volts_night"], times(feed["load"]["volts_min"], 1.02)), held_at_night(feed))


def undervoltage_on_battery(feed):
    source = feed["source"]
    backed = None if source is None else source["has_battery"] and source["gives"] == "dc"
    return judged(at_least(feed["volts_battery"], feed["load"]["volts_min"]), every(backed, held_at_night(feed)))


def dark_before_wanted(evening):
    """Where the battery itself is short, that is said already."""
    battery = evening["battery"]
    short = known(battery["wanted"]) and known(battery["hours"]) and battery["hours"] < battery["wanted"]
    asked = every(known(battery["wanted"]), not short, held_at_night(evening["feed"]))
    return judged(at_least(evening["hours"], battery["wanted"]), asked)


# Recorders and boxes


def device_kinds_do_not_meet(feed):
    return judged(feed["kinds_meet"])


def device_overvoltage(feed):
    within = at_most(feed["volts_idle"], feed["volts_max"])
    return judged(within, some(feed["kinds_meet"], no(within)))


def device_undervoltage(feed):
    return judged(at_least(feed["volts_night"], feed["volts_min"]), every(feed["kinds_meet"], feed["speaks_for_collapse"]))


# Runs and junctions


def of_power(run):
    return run["use"] == "power"


def clad_conductor(run):
    return judged(is_(run["conductor_material"], "copper"), of_power(run) and run["fits_use"] and not run["paired"])


def conductor_overloaded(run):
    """A cable that is not for power is judged too, where somebody says what it carries."""
    return judged(held(run, run["amps_max"]), of_power(run) and (run["fits_use"] or known(run["amps_max"])))


def conductor_unprotected(run):
    asked = of_power(run) and (run["fits_use"] or known(run["device_max"]))
    return judged(at_most(run["amps_protective"], run["device_max"]), asked)


def conductor_opens_late(run):
    asked = of_power(run) and (run["fits_use"] or known(run["device_max"]))
    when = every(asked, no(over(run["amps_protective"], run["device_max"])))
    return judged(at_most(run["amps_opening"], times(run["device_max"], 1.45)), when)


def junction_feeds_nothing(junction):
    return judged(junction["children"] > 0)


def junction_unpowered(junction):
    return judged(junction["powered"], junction["children"] > 0)


def protective_device_overloaded(junction):
    when = junction["powered"] and known(junction["amps_protective"])
    return judged(held(junction, junction["amps_protective"]), when)


def protective_device_continuous(junction):
    amps, device = junction["amps_night"], junction["amps_protective"]
    when = junction["powered"] and known(device) and known(amps) and amps <= device
    return judged(at_most(amps, times(device, 0.8)), when)


RULES = {
    "power/camera-unpowered": ("camera", camera_unpowered),
    "power/clad-conductor": ("run", clad_conductor),
    "power/collapse": ("feed", collapse),
    "power/conductor-opens-late": ("run", conductor_opens_late),
    "power/conductor-overloaded": ("run", conductor_overloaded),
    "power/conductor-unprotected": ("run", conductor_unprotected),
    "power/device-kinds-do-not-meet": ("device_feed", device_kinds_do_not_meet),
    "power/device-overvoltage": ("device_feed", device_overvoltage),
    "power/device-undervoltage": ("device_feed", device_undervoltage),
    "power/junction-feeds-nothing": ("junction", junction_feeds_nothing),
    "power/junction-unpowered": ("junction", junction_unpowered),
    "power/kinds-do-not-meet": ("feed", kinds_do_not_meet),
    "power/over-coax-without-injector": ("feed", over_coax_without_injector),
    "power/overvoltage": ("feed", overvoltage),
    "power/plug-does-not-fit": ("feed", plug_does_not_fit),
    "power/plug-polarity": ("feed", plug_polarity),
    "power/polarity-unprotected": ("feed", polarity_unprotected),
    "power/protective-device-continuous": ("junction", protective_device_continuous),
    "power/protective-device-overloaded": ("junction", protective_device_overloaded),
    "power/undervoltage": ("feed", undervoltage),
    "power/undervoltage-rectifier": ("feed", undervoltage_rectifier),
    "power/overvoltage-without-load": ("feed", overvoltage_without_load),
    "power/undervoltage-by-day": ("feed", undervoltage_by_day),
    "power/undervoltage-near": ("feed", undervoltage_near),
    "power/dark-before-wanted": ("evening", dark_before_wanted),
    "power/undervoltage-on-battery": ("feed", undervoltage_on_battery),
    "power/wet-contact-voltage": ("feed", wet_contact_voltage),
}
