"""Ways over copper between earths and buildings, up masts, beside arresters."""

from __future__ import annotations

from ..threes import at_least, every, judged, known, over, some, times, under


def earths_differ(use):
    """A way for that use between two earths has something that parts them."""

    def predicate(copper):
        asked = copper["use"] == use and (use != "power" or copper["direct"]) and copper["other_earth"] is True
        return judged(copper["isolated"], asked)

    return predicate


def surge_between_buildings(copper):
    return judged(at_least(copper["arresters"], 2), copper["use"] != "video" and copper["other_building"] is True)


def surge_coax_between_buildings(recorder):
    """Every coax from another building has two arresters."""
    apart = [link["hops"] for link in recorder["links"] if link["other_building"]]
    enough = [None if hops is None else sum(hop["does"] == "arrester" for hop in hops) >= 2 for hops in apart]
    return judged(every(*enough), bool(apart))


def surge_one_way_only(copper):
    return judged(over(copper["arresters"], 0), copper["others_arrested"])


def surge_mast_cable(copper):
    asked = known(copper["height"]) and copper["use"] != "video" and not copper["others_arrested"]
    return judged(some(under(copper["height"], 6), over(copper["arresters"], 0)), asked)


def surge_arrester_category(copper):
    between = copper["other_building"] is True
    high = copper["height"] is not None and copper["height"] >= 6
    met = copper["tested_for_stroke"] if between else copper["tested_for_induced"]
    return judged(met, bool(copper["arresters"]) and (between or high))


def surge_arrester_voltage(copper):
    asked = every(copper["use"] == "power", known(copper["volts_line"]), known(copper["arresters"]), bool(copper["arresters"]))
    return judged(at_least(copper["arrester_volts"], times(copper["volts_line"], 1.0 if copper["direct"] else 1.1)), asked)


RULES = {
    "place/earths-differ-power": ("copper", earths_differ("power")),
    "place/earths-differ-serial": ("copper", earths_differ("control")),
    "place/earths-differ-sound": ("copper", earths_differ("sound")),
    "place/surge-between-buildings": ("copper", surge_between_buildings),
    "place/surge-coax-between-buildings": ("recorder", surge_coax_between_buildings),
    "place/surge-one-way-only": ("copper", surge_one_way_only),
    "place/surge-mast-cable": ("copper", surge_mast_cable),
    "place/surge-arrester-category": ("copper", surge_arrester_category),
    "place/surge-arrester-voltage": ("copper", surge_arrester_voltage),
}
