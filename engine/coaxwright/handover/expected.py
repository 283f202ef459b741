"""What a meter should show when the system is as drawn, and how far it may be off: one record for each thing measured.

Expected values are facts of the check. How far a value may lie from them is data (table `commissioning`); a camera's own
limits, and those of the line, come before it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from coaxwright.facts.power.cable_ohms import conductor_ohms
from coaxwright.handover.plan import Plan
from coaxwright.immutable import immutable
from coaxwright.model.site import Hop
from coaxwright.reading.tables import load_table
from coaxwright.schedules.runs import Line

UNITS = {
    "supply-volts": "V", "volts-night": "V", "power-loop": "ohm", "coax-loop": "ohm", "loss": "dB", "density": "px/m",
    "rate": "fps", "bitrate": "Mb/s", "earth-volts": "V AC",
}  # fmt: skip
DECIMALS = {"supply-volts": 1, "volts-night": 1, "power-loop": 1, "coax-loop": 1, "loss": 1, "density": 0, "rate": 1,
            "bitrate": 1, "earth-volts": 2}  # fmt: skip
WORDS = {
    "supply-volts": "volts at the outputs, all lamps on",
    "volts-night": "volts at the camera, lamps on",
    "power-loop": "power line, loop, far end joined",
    "coax-loop": "coax, loop, far end joined",
    "loss": "loss of the coax line",
    "density": "detail at the target",
    "rate": "pictures recorded a second",
    "bitrate": "recording, mean of one day",
    "earth-volts": "coax screen to recorder case, unplugged",
}
_MOST_DECIMALS = 4


@immutable
class Expected:
    """One thing to be measured. `value`, `least`, `most` are in `unit`, as printed; None where nobody can say.

    `fails` says that the plan itself does not hold there: what is expected lies outside of what is allowed.
    """

    subject: str
    measure: str
    value: float | None
    least: float | None
    most: float | None
    decimals: int
    fails: bool = False
    exact: float | None = None

    @property
    def code(self) -> str:
        """What a filled sheet is read back by: `cameras/gate/volts-night`."""
        return f"{self.subject}/{self.measure}"

    @property
    def unit(self) -> str:
        """The unit of what is written into the box."""
        return UNITS[self.measure]


def expected_of(plan: Plan) -> list[Expected]:
    """All that a commissioning sheet has a box for: supplies, then lines of power, cameras, recorders."""
    return [*_supplies(plan), *_trunks(plan), *(each for name in plan.loaded.site.cameras for each in _camera(plan, name)),
            *_recorders(plan)]  # fmt: skip


def _row(what: str) -> tuple[float, float, float]:
    row = load_table("commissioning").row(what)
    return row["below"], row["above"], row["least"]


def bounded(subject: str, measure: str, value: float | None, least: float | None, most: float | None) -> Expected:
    """A record whose printed figures keep their order: as many decimals as show on which side of a bound a value lies."""
    fails = value is not None and ((least is not None and value < least) or (most is not None and value > most))
    for decimals in range(DECIMALS[measure], _MOST_DECIMALS + 1):
        shown = None if value is None else round(value, decimals)
        low, high = _up(least, decimals), _down(most, decimals)
        outside = shown is not None and ((low is not None and shown < low) or (high is not None and shown > high))
        if outside == fails:
            break
    return Expected(subject, measure, shown, low, high, decimals, fails, value)


def _up(value: float | None, decimals: int) -> float | None:
    return None if value is None else round(math.ceil(round(value * 10**decimals, 6)) / 10**decimals, decimals)


def _down(value: float | None, decimals: int) -> float | None:
    return None if value is None else round(math.floor(round(value * 10**decimals, 6)) / 10**decimals, decimals)


def _around(measure: str, subject: str, value: float | None) -> Expected:
    """Shares below and above, and something whatever it is."""
    if value is None:
        return bounded(subject, measure, None, None, None)
    below, above, least = _row(measure)
    return bounded(subject, measure, value, max(0.0, value * (1 - below) - least), value * (1 + above) + least)


# Power


def _supplies(plan: Plan) -> Iterator[Expected]:
    for name in plan.loaded.site.supplies:
        subject = f"supplies/{name}"
        yield _around("supply-volts", subject, plan.known(subject, "supply", "volts"))


def _trunks(plan: Plan) -> Iterator[Expected]:
    """Loops of power lines to junctions, recorders and boxes."""
    for line in plan.lines:
        if line.use == "power" and not line.subject.startswith("cameras/"):
            yield _around("power-loop", line.subject, power_loop(plan, line))


def power_loop(plan: Plan, line: Line) -> float | None:
    """Loop resistance of a power line at 20 °C in ohm, as a hand meter shows it; None where it cannot be said."""
    total = 0.0
    for hop in line.hops:
        ohms = _hop_ohms(plan, hop)
        if ohms is None:
            return None
        total += ohms
    return total if line.hops else None


def _hop_ohms(plan: Plan, hop: Hop) -> float | None:
    """2 x length x ohm/m at 20 °C, over the pairs in parallel; of a box what its part states."""
    if hop.cable is None:
        box = plan.loaded.site.boxes[hop.box or ""]
        ohms: float | None = plan.loaded.catalogue.part(box.part).resistance
        return ohms
    if hop.measured is not None and hop.measured.loop is not None:
        return hop.measured.loop
    per_metre = conductor_ohms(plan.loaded.catalogue.part(hop.cable)).ohm_per_m
    if per_metre is None or hop.metres is None:
        return None
    return 2.0 * hop.metres * per_metre / (hop.pairs or 1)


def _volts(plan: Plan, subject: str) -> Expected:
    """Between what is lost at most and what the supply gives, within what the camera takes."""
    volts, drop = (plan.known(subject, "feed", name) for name in ("volts_night", "drop_night"))
    floor, ceiling = (plan.known(subject, "camera", name) for name in ("volts_min", "volts_max"))
    if volts is None or drop is None:
        return bounded(subject, "volts-night", volts, floor, ceiling)
    below, above, least = _row("drop")
    more = _row("supply-volts")[1] * (volts + drop)
    low, high = volts - above * drop - least, volts + below * drop + more + least
    holds = (floor is None or volts >= floor) and (ceiling is None or volts <= ceiling)
    if not holds:
        return bounded(subject, "volts-night", volts, floor, ceiling)
    return bounded(subject, "volts-night", volts, max(low, floor or low), min(high, ceiling or high))


# Cameras


def _camera(plan: Plan, name: str) -> Iterator[Expected]:
    subject = f"cameras/{name}"
    camera = plan.loaded.site.cameras[name]
    lines = {line.use: line for line in plan.lines if line.subject == subject}
    if "power" in lines:
        yield _volts(plan, subject)
        yield _around("power-loop", subject, power_loop(plan, lines["power"]))
    if "video" in lines:
        yield _coax_loop(plan, lines["video"])
        yield _loss(plan, subject)
        if plan.known(subject, "link", "other_earth"):
            yield bounded(subject, "earth-volts", None, None, None)
    if camera.wants is not None and camera.wants.see is not None:
        yield _density(plan, subject)
    yield _rate(plan, subject)


def _coax_loop(plan: Plan, line: Line) -> Expected:
    """Centre and screen; the screens of one type differ, so the middle of their band is expected."""
    figures = [coax_ohms(plan, hop) for hop in line.hops]
    if not figures or any(each is None for each in figures):
        return bounded(line.subject, "coax-loop", None, None, None)
    least, most = (sum(each[place] for each in figures if each is not None) for place in (0, 1))
    below, above, more = _row("coax-loop")
    return bounded(
        line.subject, "coax-loop", (least + most) / 2, max(0.0, least * (1 - below) - more), most * (1 + above) + more
    )


def coax_ohms(plan: Plan, hop: Hop) -> tuple[float, float] | None:
    """Least and greatest loop resistance of a run of coax at 20 °C, ohm; None for a box or a cable nobody has figures of."""
    if hop.cable is None or hop.metres is None:
        return None
    part = plan.loaded.catalogue.part(hop.cable)
    centre = conductor_ohms(part).ohm_per_m
    if centre is not None and part.braid_resistance is not None:
        return (hop.metres * (centre + part.braid_resistance),) * 2
    name = plan.kind_words(hop.cable)
    row = next((each for each in load_table("coax-loops").rows if f"{name}-".startswith(f"{each['cable']}-")), None)
    if row is None:
        return None
    return hop.metres * (row["centre"] + row["screen_least"]), hop.metres * (row["centre"] + row["screen_most"])


def _loss(plan: Plan, subject: str) -> Expected:
    loss, limit = (plan.known(subject, "link", name) for name in ("loss", "loss_limit"))
    if loss is None:
        return bounded(subject, "loss", None, None, limit)
    below, above, least = _row("loss")
    most = loss * (1 + above) + least
    if limit is not None:
        most = limit if loss > limit else min(most, limit)
    return bounded(subject, "loss", loss, max(0.0, loss * (1 - below) - least), most)


def _density(plan: Plan, subject: str) -> Expected:
    found, wanted = (plan.known(subject, "view", name) for name in ("density", "density_wanted"))
    if found is None:
        return bounded(subject, "density", None, wanted, None)
    below, above, _ = _row("density")
    low = found * (1 - below)
    return bounded(subject, "density", found, wanted if wanted is not None and wanted > low else low, found * (1 + above))


def _rate(plan: Plan, subject: str) -> Expected:
    rate, wanted = (plan.known(subject, "camera", name) for name in ("recorded_fps", "wants_rate"))
    if rate is None:
        return bounded(subject, "rate", None, wanted, None)
    below, above, _ = _row("rate")
    low = rate * (1 - below)
    return bounded(subject, "rate", rate, wanted if wanted is not None and wanted > low else low, rate * (1 + above))


def _recorders(plan: Plan) -> Iterator[Expected]:
    for name in plan.loaded.site.recorders:
        mean = plan.known(f"recorders/{name}", "recorder", "bitrate_mean")
        yield _around("bitrate", f"recorders/{name}", None if mean is None else mean / 1e6)
