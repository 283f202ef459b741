"""Networks: addresses, ports, ways, switches, what comes into a recorder and goes out of it; powered ports."""

from __future__ import annotations

from ..threes import at_least, at_most, every, judged, known, no, times


def address_malformed(address):
    return judged(address["valid"])


def address_shared(address):
    return judged(not address["shared"])


def cameras_beyond_most(recorder):
    return judged(at_most(recorder["network_cameras"], recorder["network_cameras_max"]), recorder["network_cameras"] > 0)


def coax_without_converter(path):
    return judged(at_least(path["converters"], 2), path["coax"])


def incoming_exceeded(recorder):
    return judged(at_most(recorder["incoming"], recorder["incoming_max"]), recorder["network_cameras"] > 0)


def no_such_port(port):
    return judged(port["exists"])


def outgoing_exceeded(recorder):
    return judged(at_most(recorder["outgoing"], recorder["outgoing_max"]), recorder["viewers"] > 0)


def port_shared(port):
    return judged(port["cables"] < 2)


def rate_below_wanted(camera):
    return judged(at_least(camera["recorded_fps"], camera["wants_rate"]), camera["has_network"] and known(camera["wants_rate"]))


def switch_overloaded(switch):
    when = switch["has_uplink"] and switch["cameras"] > 0
    return judged(at_most(switch["load"], times(switch["uplink_rate"], 0.5)), when)


def switch_without_way(switch):
    return judged(switch["has_uplink"], switch["cameras"] > 0)


def uplink_exceeded(recorder):
    return judged(at_most(recorder["outgoing"], times(recorder["uplink"], 0.8)), recorder["viewers"] > 0)


def viewers_exceeded(recorder):
    return judged(at_most(recorder["viewers"], recorder["viewers_max"]), recorder["viewers"] > 0)


def way_too_long(path):
    when = every(no(path["coax"]), None if path["converters"] is None else path["converters"] == 0)
    return judged(at_most(path["metres"], 100), when)


# Power over network cables


def budget_overallotted(source):
    return judged(at_most(source["watts_allotted"], source["watts_max"]), at_most(source["watts_night"], source["watts_max"]))


def budget_overdrawn(source):
    return judged(at_most(source["watts_night"], source["watts_max"]))


def channel_resistance(port):
    return judged(at_most(port["ohms"], port["ohms_max"]), port["takes_poe"])


def class_above_port(port):
    return judged(at_most(port["watts_allotted"], port["watts_port"]), every(port["takes_poe"], port["exists"]))


def load_above_class(port):
    return judged(at_most(port["watts_night"], port["watts_class"]), port["takes_poe"])


def no_powered_port(port):
    return judged(port["exists"])


def not_taken(port):
    return judged(port["takes_poe"])


def too_few_pairs(port):
    return judged(at_least(port["pairs"], port["pairs_needed"]), port["takes_poe"])


def powered_port_shared(port):
    return judged(port["devices"] < 2)


def bundle_warm(port):
    return judged(at_most(port["bundle_rise"], 15), every(port["bunched"], port["takes_poe"]))


def undervoltage(port):
    when = every(port["takes_poe"], at_most(port["watts_night"], port["watts_class"]))
    return judged(at_least(port["volts_night"], port["volts_min"]), when)


RULES = {
    "network/address-malformed": ("address", address_malformed),
    "network/address-shared": ("address", address_shared),
    "network/cameras-beyond-most": ("recorder", cameras_beyond_most),
    "network/coax-without-converter": ("network_path", coax_without_converter),
    "network/incoming-exceeded": ("recorder", incoming_exceeded),
    "network/no-such-port": ("network_port", no_such_port),
    "network/outgoing-exceeded": ("recorder", outgoing_exceeded),
    "network/port-shared": ("network_port", port_shared),
    "network/rate-below-wanted": ("camera", rate_below_wanted),
    "network/switch-overloaded": ("switch", switch_overloaded),
    "network/switch-without-way": ("switch", switch_without_way),
    "network/uplink-exceeded": ("recorder", uplink_exceeded),
    "network/viewers-exceeded": ("recorder", viewers_exceeded),
    "network/way-too-long": ("network_path", way_too_long),
    "power/poe-budget-overallotted": ("poe_source", budget_overallotted),
    "power/poe-budget-overdrawn": ("poe_source", budget_overdrawn),
    "power/poe-channel-resistance": ("poe_port", channel_resistance),
    "power/poe-class-above-port": ("poe_port", class_above_port),
    "power/poe-load-above-class": ("poe_port", load_above_class),
    "power/poe-no-such-port": ("poe_port", no_powered_port),
    "power/poe-not-taken": ("poe_port", not_taken),
    "power/poe-pairs": ("poe_port", too_few_pairs),
    "power/poe-port-shared": ("poe_port", powered_port_shared),
    "power/poe-bundle-warm": ("poe_port", bundle_warm),
    "power/poe-undervoltage": ("poe_port", undervoltage),
}
