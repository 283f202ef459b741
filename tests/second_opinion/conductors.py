"""Second opinion on conductors: what they may carry where they lie, and how warm their own current makes them."""

from __future__ import annotations

import math

from .plain import assumption, num, table


def metal_of(own):
    return next(row for row in table("conductor-materials") if row["material"] == own.get("material", "copper"))


def row_of(size):
    """The greatest size that is not above this one (0.3 % for rounding)."""
    fitting = [row for row in table("conductor-currents") if num(row["size"]) <= 1.003 * size]
    return max(fitting, key=lambda row: num(row["size"])) if fitting else None


def in_air(limit, air):
    """Factor for warm air: the squares of the published factors on straight lines; 1 below the first."""
    rows = sorted((num(row["air"]), num(row["factor"])) for row in table("conductor-air") if num(row["insulation"]) == limit)
    low = [row for row in rows if row[0] <= air]
    high = [row for row in rows if row[0] > air]
    if not low:
        return rows[0][1]
    if not high:
        return rows[-1][1]
    (a, f), (b, g) = low[-1], high[0]
    return math.sqrt((f * f * (b - air) + g * g * (air - a)) / (b - a))


def in_bundle(part, row, circuits):
    """Amps of a conductor of pairs in a bundle of so many cables; None where that table does not tell of it."""
    own = [each for each in table("pair-bundles") if each["gauge"] == row.get("gauge")]
    if not {"pair", "network"} & set(part["carries"]) or not own or (circuits > 1 and not own):
        return None
    fitting = [num(each["amps"]) for each in own if int(each["cables_up_to"]) >= circuits]
    if circuits == 1:
        return None
    return max(fitting) if fitting else "beyond"


def limits(part, hop, air):
    """Amps of one conductor, of its greatest protective device, and where they are from; None where not known."""
    own = part.get("conductor") or {}
    if "amps" in own:
        return num(own["amps"]), num(own["amps"]), "as its maker states"
    if not {"size", "material"} <= set(own):
        return None, None, None
    row = row_of(num(own["size"]))
    if row is None:
        return None, None, None
    laid = hop.get("laid")
    column = {"conduit": "conduit", "clipped": "clipped", "insulation": "clipped", "free-air": "free_air"}.get(laid, "amps")
    share = math.sqrt(1 / num(metal_of(own)["factor"]))
    circuits = int(hop.get("bunched") or 1)
    bundle = in_bundle(part, row, circuits)
    if (circuits > 20 and bundle is None) or bundle == "beyond":
        return None, None, None
    carried = (num(row.get(column, row["amps"])) if bundle is None else bundle) * share * in_air(num(row["insulation"]), air)
    if laid == "insulation":
        carried /= 2
    if bundle is None:
        bunch = next(each for each in table("conductor-bunching") if int(each["circuits"]) >= circuits)
        carried *= num(bunch["factor_gauge" if "gauge" in row else "factor"])
    device, amps = carried, carried
    if "device_clad" in row and own["material"] == "copper-clad-aluminium":
        device = min(device, num(row["device_clad"]))
    elif "device" in row:
        device = min(device, num(row["device"]) * share)
    if "continuous" in row:
        amps = min(amps, num(row["continuous"]) * share)
    return amps, device, row["source"]


def facts(part, hop, place):
    """Fields of a power run that follow from its conductors, for one pair and for those in use."""
    degc, warm = num(hop.get("temperature")), num((place or {}).get("ambient_max"))
    used = assumption("conductor-temperature") if degc is None else degc
    air = used if degc is not None or warm is None else warm
    amps, device, basis = limits(part, hop, air)
    pairs = int(hop.get("pairs") or 1)
    return {
        "amps_one": amps, "device_one": device, "amps_max": amps and amps * pairs if amps != 0 else 0.0,
        "device_max": device and device * pairs if device != 0 else 0.0, "amps_basis": basis, "air": air, "temperature": used,
    }  # fmt: skip


# Its own heat


class Hot:
    """A run that its own current may heat: ohm when as warm as assumed, and kelvin above that."""

    def __init__(self, run, ohms, rise, own, pairs):
        self.run, self.ohms, self.rise, self.more = run, ohms, rise, 0.0
        self.base = assumption("conductor-temperature")
        # A current that takes a conductor from 30 to 70 °C in conduit: 13.1 A x S^0.6 (IEC 60364-5-52 annex D).
        self.full = 13.1 * num(own["size"]) ** 0.6 / math.sqrt(num(metal_of(own)["factor"])) * pairs

    def warm(self, amps):
        """Kelvin beyond the ten that are allowed for: found by repetition, heat = k I^2 R(t), and at most 70 - 30 of it."""
        air = self.base - 10
        at_limit = 1 + self.rise * 50
        hot = 0.0
        for _ in range(500):
            new = 40 * (amps / self.full) ** 2 * (1 + self.rise * (air + hot - 20)) / at_limit
            if new >= 40:
                hot = 40.0
                break
            if abs(new - hot) < 1e-13:
                break
            hot = new
        self.more = max(self.more, hot - 10)
        return self.more

    def added(self):
        """Ohm more than when as warm as assumed."""
        return self.ohms * self.rise * self.more / (1 + self.rise * (self.base - 20))
