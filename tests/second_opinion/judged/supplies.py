"""Supplies and their outputs, starting, batteries, wiring codes."""

from __future__ import annotations

from ..threes import at_least, at_most, every, held, is_, judged, known, less, no, over, some, sum_of, times, under


def in_use(supply):
    return supply["outputs_used"] > 0


def coded(supply, iec):
    """In use, under the international code or under the other one."""
    return supply["outputs_used"] > 0 and known(supply["wiring_code"]) and (supply["wiring_code"] == "iec-60364") == iec


def above_extra_low_voltage(supply):
    return judged(at_most(supply["volts"], 120 if supply["gives"] == "dc" else 50), coded(supply, True))


def autonomy_without_battery(supply):
    return judged(supply["has_battery"] or supply["on_ups"], known(supply["autonomy_wanted"]))


def class2_not_stated(supply):
    return judged(supply["class2"], coded(supply, False))


def collapse_near(supply):
    """Not told where nothing works at night, nor where what is nearest is below its voltage anyway."""
    feeds = [feed for output in supply["members"] for feed in output["feeds"]]
    dark = every(*(feed["collapsed_by_night"] for feed in feeds))
    low = [
        every(at_most(feed["margin_night"], supply["margin_working"]), under(feed["volts_night"], feed["load"]["volts_min"]))
        for feed in feeds if known(feed["load"]["volts_min"])
    ]  # fmt: skip
    return judged(at_least(supply["margin_working"], 1.5), every(supply["cameras"] > 0, no(dark), no(some(*low))))


def start_too_heavy(supply):
    when = supply["inrush_stated"] > 0 and known(supply["amps_start_max"])
    return judged(at_most(supply["amps_start"], supply["amps_start_max"]), when)


def supply_headroom(supply):
    amps, most = supply["amps_night"], supply["amps_max"]
    return judged(at_most(amps, times(most, 0.8)), every(in_use(supply), at_most(amps, most)))


def supply_derated(supply):
    amps = supply["amps_night"]
    return judged(at_most(amps, supply["amps_warm"]), every(in_use(supply), no(over(amps, supply["amps_max"]))))


def protection_warm(output):
    amps = output["amps_night"]
    return judged(at_most(amps, output["amps_warm"]), every(output["exists"], no(over(amps, output["amps_max"]))))


def supply_overloaded(supply):
    return judged(held(supply, supply["amps_max"]), in_use(supply))


def supply_unused(supply):
    return judged(supply["outputs_used"] > 0)


def trim_out_of_range(supply):
    volts = supply["volts"]
    within = every(at_least(volts, supply["trim_min"]), at_most(volts, supply["trim_max"]))
    return judged(within, supply["trimmed"] and volts != supply["volts_nominal"])


def no_spare_output(supply):
    outputs, used = supply["outputs"], supply["outputs_used"]
    when = known(outputs) and outputs >= 4 and 0 < used <= outputs
    return judged(at_least(less(outputs, used), 1), when)


# Outputs


def own_limit(output):
    """A limit that is not simply the supply's: one of several outputs, or less than the supply gives, or the only one stated."""
    outputs, most, limit = output["supply"]["outputs"], output["supply"]["amps_max"], output["amps_max"]
    several = None if outputs is None else outputs != 1
    return some(several, under(limit, most) if known(most) else known(limit))


def class2_output_above_limit(output):
    supply = output["supply"]
    coded = known(supply["wiring_code"]) and supply["wiring_code"] != "iec-60364"
    when = every(output["exists"], coded, supply["class2"])
    return judged(at_most(output["amps_max"], supply["class2_amps"]), when)


def limiter_trips_at_start(output):
    when = every(output["exists"], output["inrush_stated"] > 0, output["protection"] == "electronic")
    return judged(at_most(output["amps_start"], output["amps_max"]), when)


def no_such_output(output):
    return judged(output["exists"])


def output_continuous(output):
    amps, most = output["amps_night"], output["amps_max"]
    when = every(known(amps) and known(most), output["exists"], at_most(amps, most), own_limit(output))
    return judged(at_most(amps, times(most, 0.8)), when)


def output_overloaded(output):
    return judged(held(output, output["amps_max"]), every(output["exists"], own_limit(output)))


def output_shared(output):
    return judged(output["runs"] < 2, output["exists"])


def output_unprotected(output):
    when = every(output["exists"], over(output["supply"]["outputs"], 1), known(output["protection"]))
    return judged(no(is_(output["protection"], "none")), when)


# Batteries


def float_too_low(supply):
    least = supply["float_least"]
    return judged(at_least(supply["volts"], least), known(least) and supply["trimmed"])


def autonomy_short(battery):
    return judged(at_least(battery["hours"], battery["wanted"]), known(battery["wanted"]))


def battery_warm(battery):
    return judged(at_most(battery["temperature_max"], 30), known(battery["temperature_max"]))


def recharge_overloads_supply(battery):
    supply, charger = battery["supply"], battery["charger_amps"]
    return judged(at_most(sum_of(supply["amps_night"], charger), supply["amps_max"]), known(charger))


def recharge_slow(battery):
    return judged(at_most(battery["recharge_hours"], 72))


def recharge_later_than_wanted(battery):
    return judged(at_most(battery["recharge_hours"], battery["recharge_wanted"]), known(battery["recharge_wanted"]))


def lithium_charged_cold(battery):
    return judged(at_least(battery["temperature"], 0), battery["chemistry"] == "lithium")


RULES = {
    "power/recharge-later-than-wanted": ("battery", recharge_later_than_wanted),
    "power/lithium-charged-cold": ("battery", lithium_charged_cold),
    "power/above-extra-low-voltage": ("supply", above_extra_low_voltage),
    "power/float-too-low": ("supply", float_too_low),
    "power/autonomy-short": ("battery", autonomy_short),
    "power/autonomy-without-battery": ("supply", autonomy_without_battery),
    "power/battery-warm": ("battery", battery_warm),
    "power/class2-not-stated": ("supply", class2_not_stated),
    "power/class2-output-above-limit": ("output", class2_output_above_limit),
    "power/collapse-near": ("supply", collapse_near),
    "power/limiter-trips-at-start": ("output", limiter_trips_at_start),
    "power/no-such-output": ("output", no_such_output),
    "power/output-continuous": ("output", output_continuous),
    "power/output-overloaded": ("output", output_overloaded),
    "power/output-shared": ("output", output_shared),
    "power/output-unprotected": ("output", output_unprotected),
    "power/recharge-overloads-supply": ("battery", recharge_overloads_supply),
    "power/recharge-slow": ("battery", recharge_slow),
    "power/start-too-heavy": ("supply", start_too_heavy),
    "power/protection-warm": ("output", protection_warm),
    "power/supply-derated": ("supply", supply_derated),
    "power/supply-headroom": ("supply", supply_headroom),
    "power/supply-overloaded": ("supply", supply_overloaded),
    "power/supply-unused": ("supply", supply_unused),
    "power/trim-out-of-range": ("supply", trim_out_of_range),
    "practice/no-spare-output": ("supply", no_spare_output),
}
