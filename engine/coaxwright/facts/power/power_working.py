"""Workings of the power facts: every line computes again from the numbers that stand in it.

One way of writing throughout: `12.6 V - 2 x 85 m x 26 ohm/km x 1.0786 (40 degC) x 0.61 A = 9.45 V at
cameras/slipway`. Words in brackets explain the number before them. Alternating current is solved with
phasors, and its lines then say what was lost, not how the angles add up. Nothing here computes a fact.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.power.cable_ohms import ConductorOhms, conductor_ohms
from coaxwright.facts.power.conductor_limits import conductor_limits
from coaxwright.facts.power.loads import CONSTANT_POWER, Load, load_of
from coaxwright.facts.power.own_heat import ALLOWED, full_amps, heated_run, lasting_amps
from coaxwright.facts.sheets import Camera, Feed, Junction, Output, Run, Supply
from coaxwright.facts.written import number
from coaxwright.model.site import Hop
from coaxwright.topology.records import CablePath

Lines = tuple[str, ...]
_TERMS = {"watts_day": "day", "watts_night": "night", "watts_heater": "heater", "watts_motor": "motors"}


def _season(night: bool) -> str:
    return "night" if night else "day"


class Way:
    """The cable paths from a supply to one device, source first."""

    def __init__(self, context: Context, last: CablePath) -> None:
        self.context = context
        self.paths = [last]
        powers = context.topology.lists.device_power
        while (target := self.paths[0].target) is not None and target.kind == "junction-tap":
            above = powers.get(("junction", target.device))
            if above is None:
                break
            self.paths.insert(0, above)

    def conductor(self, hop: Hop) -> ConductorOhms:
        """Resistance figures of a hop's cable."""
        return conductor_ohms(self.context.part(hop.cable or ""))

    def terms(self, path: CablePath) -> list[str]:
        """Each piece of a path as a product of numbers that gives its ohms."""
        return [self._term(path, hop) for hop in path.hops or ()]

    def _term(self, path: CablePath, hop: Hop) -> str:
        if hop.cable is None:
            box = hop.box or ""
            part = self.context.part(self.context.loaded.site.boxes[box].part)
            return f"{number(part.resistance)} ohm ({box})"
        figures = self.conductor(hop)
        degc = self.degrees(hop) + self.own_heat(path, hop)
        factor = 1.0 + figures.alpha * (degc - 20.0)
        ohms = number((figures.ohm_per_m or 0.0) * 1000.0)
        text = f"2 x {number(hop.length or 0.0)} m x {ohms} ohm/km x {number(factor)} ({number(degc)} degC)"
        return f"{text} / {hop.pairs} (pairs)" if hop.pairs and hop.pairs > 1 else text

    def degrees(self, hop: Hop) -> float:
        """Conductor temperature of a run, assumed where it has none."""
        if hop.temperature is not None:
            return hop.temperature
        return float(self.context.ledger.values["conductor-temperature"].value)

    def own_heat(self, path: CablePath, hop: Hop) -> float:
        """K that a run's own current adds to its assumed temperature."""
        sheet = _sheet(self.context, path)
        if sheet is None:
            return 0.0
        figures, conductor = self.conductor(hop), self.context.part(hop.cable or "").conductor
        heated = heated_run(hop, figures, 0.0, self.degrees(hop), full_amps(conductor))
        fields = ("volts_day", "amps_day", "volts_night", "amps_night")
        return 0.0 if heated is None else heated.extra(lasting_amps(*(sheet.known(each) for each in fields)))

    def sources(self, paths: list[CablePath]) -> Iterator[str]:
        """Where the figures of cables and temperatures are from."""
        for path in paths:
            for hop in path.hops or ():
                if hop.cable is not None:
                    figures = self.conductor(hop)
                    ohms = number((figures.ohm_per_m or 0.0) * 1000.0)
                    yield f"{ohms} ohm/km ({hop.cable}): {figures.source}"
                    if hop.temperature is None:
                        row = self.context.ledger.values["conductor-temperature"]
                        yield f"{number(row.value)} degC assumed: {row.source}"
                        if (more := self.own_heat(path, hop)) > 0.0:
                            yield (
                                f"{number(row.value + more)} degC with the heat of its own current beyond the {ALLOWED:g} K "
                                "allowed for: thermal balance of IEC 60364-5-52"
                            )


def _path_of(context: Context, sheet: Feed | Junction) -> CablePath:
    lists = context.topology.lists
    if isinstance(sheet, Feed):
        return lists.power[sheet.load.name]
    return lists.device_power["junction", sheet.name]


def _amps(context: Context, path: CablePath, night: bool) -> float | None:
    """Current in a path's cables: that of the camera, or that through the junction."""
    sheet = _sheet(context, path)
    value = getattr(sheet, "amps_night" if night else "amps_day", None)
    return None if value is None else float(value)


def _sheet(context: Context, path: CablePath) -> Feed | Junction | None:
    """The sheet of what stands at the end of a path, found through the feeds of its supply."""
    if path.owner_kind == "camera":
        feed: Feed | None = context.cameras[path.owner].known("feed")
        return feed
    return context.junctions.get(path.owner) if path.owner_kind == "junction" else None


def _volts(night: bool, context: Context, sheet: Feed | Junction) -> Lines:
    """Volts from the source, path by path."""
    way = Way(context, _path_of(context, sheet))
    supply: Supply = sheet.source
    lines = list(_source_lines(context, supply, night))
    before = _terminal(context, supply, night)
    for path in way.paths:
        # Where the volts at the end are known, those on the way are, and so are the amps.
        volts = float(getattr(_sheet(context, path), "volts_night" if night else "volts_day"))
        if volts == 0.0:
            return (*lines, *_collapse(context, sheet, night))
        amps = _amps(context, path, night) or 0.0
        lines.append(_drop(way, path, before, amps, volts, supply.gives == "ac"))
        lines += _flow(context, path, night, volts)
        before = volts
    return tuple(dict.fromkeys((*lines, *way.sources(way.paths))))


def _drop(way: Way, path: CablePath, before: float, amps: float, volts: float, alternating: bool) -> str:
    at = f"{number(volts)} V at {path.subject}"
    if alternating:
        note = f"lost to {number(amps)} A over {' + '.join(way.terms(path)) or '0 ohm'}, added as phasors"
        return f"{number(before)} V - {number(before - volts)} V = {at} ({note})"
    lost = "".join(f" - {term} x {number(amps)} A" for term in way.terms(path))
    return f"{number(before)} V{lost} = {at}"


def _flow(context: Context, path: CablePath, night: bool, volts: float) -> Iterator[str]:
    """The current that was used: the load's, or the sum of what leaves a junction."""
    if path.owner_kind == "camera":
        yield _load_line(context, context.cameras[path.owner], night, volts)
        return
    below = context.topology.lists.taps.get(path.owner, ())
    known = [_amps(context, each, night) for each in below]
    total = _amps(context, path, night) or 0.0
    if known and all(each is not None for each in known):
        pairs = zip(known, below, strict=True)
        terms = " + ".join(f"{number(amps or 0.0)} A ({each.subject})" for amps, each in pairs)
        yield f"{terms} = {number(total)} A through {path.subject}"
    else:
        yield f"{number(total)} A through {path.subject}, devices that are no cameras included"


def _load(context: Context, camera: Camera) -> Load:
    model = context.loaded.site.cameras[camera.name]
    return load_of(model.part, context.part(model.part), context.ledger, heater=model.heater)


def _load_line(context: Context, camera: Camera, night: bool, volts: float) -> str:
    """Amps of a load at the volts that it gets."""
    load, feed = _load(context, camera), camera.feed
    drawn = number(feed.amps_night if night else feed.amps_day)
    amps = f"{drawn} A drawn by {camera.subject} by {_season(night)}"
    watts = number(load.watts(night) or 0.0)
    factor = ""
    if feed.source.gives == "ac" and load.kind != "resistive":
        stated = load.power_factor
        value = context.ledger.values["power-factor"].value if stated is None else stated
        factor = f" / {number(value)} (power factor{' assumed' if stated is None else ''})"
    if load.kind == CONSTANT_POWER:
        return f"{watts} W / {number(volts)} V{factor} = {amps} (constant power)"
    nominal = number(load.volts or 0.0)
    if load.kind == "constant-current":
        return f"{watts} W / {nominal} V (nominal){factor} = {amps} (constant current)"
    return f"{number(volts)} V x {watts} W / {nominal} V / {nominal} V = {amps} (resistive)"


def _source_lines(context: Context, supply: Supply, night: bool) -> Iterator[str]:
    """Volts of a supply without load, and behind its own resistance."""
    part = context.part(supply.part)
    what = _volts_word(supply)
    idle = supply.volts
    if part.regulation:
        idle += part.regulation * part.volts
        rise = f"{number(part.regulation)} (regulation) x {number(part.volts)} V"
        start = f"{number(supply.volts)} V ({what})"
        yield f"{start} + {rise} = {number(idle)} V at {supply.subject} without load"
    else:
        yield f"{number(idle)} V at {supply.subject} ({what})"
    ohm, amps = _inner(context, supply), supply.known("amps_night" if night else "amps_day")
    if ohm and amps is not None and supply.gives == "dc":
        end = f"{number(idle - ohm * amps)} V at the terminals of {supply.subject}"
        yield f"{number(idle)} V - {number(ohm)} ohm (of the supply) x {number(amps)} A = {end}"


def _volts_word(supply: Supply) -> str:
    """What the volts of a supply on mains are."""
    if supply.trimmed:
        return "trim"
    return "nominal, no trim is written" if supply.known("volts_float") is None else "least while its battery is kept charged"


def _unloaded(context: Context, feed: Feed) -> float:
    """Volts of the network that a feed belongs to, without load."""
    return float(feed.source.volts + (context.part(feed.source.part).regulation or 0.0) * feed.source.volts_nominal)


def _inner(context: Context, supply: Supply) -> float:
    """Resistance of a supply itself: what its regulation says, or the assumed one."""
    part = context.part(supply.part)
    if part.regulation is None:
        return float(context.ledger.values["source-resistance"].value)
    return part.regulation * part.volts / part.amps if part.amps else 0.0


def _terminal(context: Context, supply: Supply, night: bool) -> float:
    part = context.part(supply.part)
    idle = float(supply.volts + (part.regulation or 0.0) * part.volts)
    amps = supply.known("amps_night" if night else "amps_day")
    return idle if supply.gives == "ac" or amps is None else idle - _inner(context, supply) * float(amps)


def _collapse(context: Context, sheet: Feed | Junction, night: bool) -> Iterator[str]:
    """Why no voltage works."""
    yield f"no working voltage exists by {_season(night)}: the loads want more than the cables can carry"
    margin = getattr(sheet, "margin_night", None)
    if night and isinstance(sheet, Feed) and margin is not None:
        yield from _margin(context, sheet)


def _margin(context: Context, sheet: Feed) -> Lines:
    """Closed form for one load alone, a statement for a tree."""
    factor = sheet.margin_night
    if math.isinf(factor):
        return ("no resistance and no load that could bring the voltage down: no limit",)
    load, tree = _load(context, sheet.load), context.topology.trees[sheet.source.name]
    alone = sheet.own_output and (not _inner(context, sheet.source) or len(tree.paths) == 1)
    if alone and load.kind == CONSTANT_POWER and sheet.source.gives == "dc":
        volts, loop = _unloaded(context, sheet), sheet.ohms + _inner(context, sheet.source)
        idle, most, ohm = number(volts), number(volts**2 / 4.0 / loop), number(loop)
        return (
            f"{idle} V x {idle} V / 4 / {ohm} ohm = {most} W at most can be carried",
            f"{most} W / {number(load.night or 0.0)} W = {number(factor)} times the load",
        )
    return (f"all loads that share these cables, times {number(factor)}, is the last with a working voltage",)


def _feed_drop(context: Context, sheet: Feed) -> Lines:
    return (f"{number(_unloaded(context, sheet))} V - {number(sheet.volts_night)} V = {number(sheet.drop_night)} V lost",)


def _feed_amps(night: bool, context: Context, sheet: Feed) -> Lines:
    volts = sheet.known("volts_night" if night else "volts_day")
    if volts == 0.0:
        return (_load_line(context, sheet.load, night, sheet.source.volts), *_asked(sheet))
    if not volts:
        return ()
    return (_load_line(context, sheet.load, night, volts),)


def _asked(sheet: Feed) -> Lines:
    """Why a current stands where there is no voltage."""
    return (f"no working voltage: the watts stated, at the {number(sheet.source.volts)} V of {sheet.source.subject}",)


def _idle(context: Context, sheet: Feed) -> Lines:
    return (*_idle_source(context, sheet.source, sheet.volts_idle), "no current, so nothing is lost on the way")


def _idle_source(context: Context, supply: Supply, idle: float) -> Lines:
    """The most that a supply gives without load."""
    most = supply.known("volts_float")
    if most is None or most == supply.volts:
        return tuple(_source_lines(context, supply, True))[:1]
    regulation = context.part(supply.part).regulation
    rise = f" + {number(regulation)} (regulation) x {number(supply.volts_nominal)} V" if regulation else ""
    row = context.ledger.values["battery-float-greatest"]
    start = f"{number(most)} V (its battery full, {row.written} a cell){rise}"
    at = f"{number(idle)} V at {supply.subject} without load" if rise else f"at {supply.subject}"
    return (f"{start} = {at}" if rise else f"{start} {at}", f"{row.written} a cell assumed: {row.source}")


def _feed_ohms(total: bool, context: Context, sheet: Feed) -> Lines:
    way = Way(context, _path_of(context, sheet))
    paths = way.paths if total else way.paths[-1:]
    terms = " + ".join(term for path in paths for term in way.terms(path)) or "0 ohm"
    result = f"{number(sheet.ohms_total)} ohm from the supply" if total else f"{number(sheet.ohms)} ohm"
    return (f"{terms} = {result}", *dict.fromkeys(way.sources(paths)))


def _metres(total: bool, context: Context, sheet: Feed | Junction) -> Lines:
    way = Way(context, _path_of(context, sheet))
    paths = way.paths if total else way.paths[-1:]
    runs = [hop.length for path in paths for hop in path.hops or () if hop.cable is not None and hop.length]
    result = sheet.metres_total if total else sheet.metres  # type: ignore[union-attr]
    return (f"{' + '.join(f'{number(run)} m' for run in runs) or '0 m'} = {number(result)} m",)


def _collapsed(context: Context, sheet: Feed) -> Lines:
    if sheet.collapsed:
        seasons = ((True, sheet.known("collapsed_by_night")), (False, sheet.known("collapsed_by_day")))
        return tuple(line for night, dark in seasons if dark for line in _collapse(context, sheet, night))
    return ("a working voltage exists by day and by night for all that shares these cables",)


def _collapsed_by(night: bool, context: Context, sheet: Feed) -> Lines:
    if sheet.collapsed_by_night if night else sheet.collapsed_by_day:
        return tuple(_collapse(context, sheet, night))
    return (f"a working voltage exists by {_season(night)} for all that shares these cables",)


def _speaks(context: Context, sheet: Feed) -> Lines:
    if not sheet.collapsed:
        return ("it has a working voltage",)
    if sheet.speaks_for_collapse:
        return (f"{number(sheet.ohms_total)} ohm from the supply, the most of those that go dark with it",)
    return ("another camera that goes dark with it has more resistance before it, or as much and comes first",)


def _least(context: Context, sheet: Feed) -> Lines:
    night = sheet.known("margin_night")
    if night is not None and night <= sheet.margin_least:
        return (f"{number(night)} by night, which is the lesser",)
    return (f"all loads by day that share these cables, times {number(sheet.margin_least)}, is the last with a working voltage",)


def _junction_amps(night: bool, context: Context, sheet: Junction) -> Lines:
    path = _path_of(context, sheet)
    return tuple(_flow(context, path, night, 0.0))


def _output_amps(night: bool, context: Context, sheet: Output) -> Lines:
    paths = context.topology.lists.outputs[sheet.supply.name, sheet.number]
    total = sheet.amps_night if night else sheet.amps_day
    return _sum_amps(context, paths, night, total, sheet.subject)


def _sum_amps(context: Context, paths: list[CablePath], night: bool, total: float, subject: str) -> Lines:
    terms = []
    for path in paths:
        amps = _amps(context, path, night)
        if amps is None:
            return (f"{number(total)} A at {subject}, devices that are no cameras included",)
        terms.append(f"{number(amps)} A ({path.subject})")
    return (f"{' + '.join(terms) or '0 A'} = {number(total)} A at {subject}",)


def _supply_amps(night: bool, context: Context, sheet: Supply) -> Lines:
    total = sheet.amps_night if night else sheet.amps_day
    terms = [
        f"{number(each.amps_night if night else each.amps_day)} A (output {each.number})" for each in sheet.members
    ]
    return (f"{' + '.join(terms) or '0 A'} = {number(total)} A at {sheet.subject}",)


def _supply_watts(context: Context, sheet: Supply) -> Lines:
    if any(feed.known("collapsed_by_night") for output in sheet.members for feed in output.feeds):
        product = f"{number(sheet.volts)} V x {number(sheet.amps_night)} A = {number(sheet.watts_night)} W"
        return (f"{product} asked of {sheet.subject}, what has no working voltage counted as stated",)
    if sheet.gives == "ac":
        return (f"{number(sheet.watts_night)} W: power of all loads and what the cables lose",)
    volts = number(_terminal(context, sheet, True))
    return (f"{volts} V x {number(sheet.amps_night)} A = {number(sheet.watts_night)} W given by {sheet.subject}",)


def _supply_margin(context: Context, sheet: Supply) -> Lines:
    margins = [feed.margin_night for output in sheet.members for feed in output.feeds if feed.known("margin_night")]
    if not margins or math.isinf(sheet.margin_night):
        return ("nothing on it could bring the voltage down: no limit",)
    return (f"the least of {len(margins)} feeds: {number(sheet.margin_night)} times the loads",)


def _supply_working(context: Context, sheet: Supply) -> Lines:
    feeds = [feed for output in sheet.members for feed in output.feeds]
    working = [feed for feed in feeds if not feed.collapsed]
    if math.isinf(sheet.margin_working):
        return ("nothing that works on it could bring the voltage down: no limit",)
    return (f"the least of {len(working)} feeds that work: {number(sheet.margin_working)} times the loads",)


def _camera_watts(night: bool, context: Context, sheet: Camera) -> Lines:
    load = _load(context, sheet)
    terms = load.night_sum if night else load.day_sum
    power = context.part(sheet.part)
    total = number(load.watts(night) or 0.0)
    lines = [f"{' + '.join(f'{number(value)} W ({_TERMS[name]})' for name, value in terms)} = {total} W"]
    if night and "lampless-night" in load.assumed:
        lines.append(context.ledger.values["lampless-night"].about)
    return (*lines, f"{sheet.part}: {power.source}")


def _run_amps(context: Context, sheet: Run) -> Lines:
    return (f"{number(sheet.amps_night)} A, that of {sheet.owner} by night",)


def _run_limit(device: bool, context: Context, sheet: Run) -> Lines:
    """The figure at 30 °C and its factors; the device where a code names one."""
    group, name, way, _, index = sheet.pointer
    hop: Hop = getattr(getattr(context.loaded.site, str(group))[name], str(way)).over[index]
    limits = conductor_limits(context.part(sheet.cable), hop, sheet.air)
    pairs = round(sheet.amps_max / limits.amps) if limits.amps else hop.pairs or 1
    value = sheet.device_max if device else sheet.amps_max
    if not limits.assumed:
        return (f"{number(value)} A {limits.basis}" + (f", {pairs} pairs" if pairs > 1 else ""),)
    first, *factors = limits.terms
    shown = "".join(f" x {number(factor)} ({word})" for factor, word in factors)
    carried = math.prod(factor for factor, _ in limits.terms)
    lines = [f"{number(first[0])} A ({first[1]}){shown} = {number(carried)} A"]
    if not math.isclose(value, carried * pairs):
        lines.append(f"no more than {number(value / pairs)} A {'before it' if device else 'for hours'}, by the code")
    if pairs > 1:
        lines.append(f"{number(value / pairs)} A x {pairs} (pairs) = {number(value)} A")
    return (*lines, limits.basis)


POWER_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("camera", "watts_day"): partial(_camera_watts, False),
    ("camera", "watts_night"): partial(_camera_watts, True),
    ("feed", "volts_day"): partial(_volts, False),
    ("feed", "volts_night"): partial(_volts, True),
    ("feed", "volts_idle"): _idle,
    ("feed", "drop_night"): _feed_drop,
    ("feed", "amps_day"): partial(_feed_amps, False),
    ("feed", "amps_night"): partial(_feed_amps, True),
    ("feed", "ohms"): partial(_feed_ohms, False),
    ("feed", "ohms_total"): partial(_feed_ohms, True),
    ("feed", "metres"): partial(_metres, False),
    ("feed", "metres_total"): partial(_metres, True),
    ("feed", "collapsed"): _collapsed,
    ("feed", "collapsed_by_day"): partial(_collapsed_by, False),
    ("feed", "collapsed_by_night"): partial(_collapsed_by, True),
    ("feed", "speaks_for_collapse"): _speaks,
    ("feed", "margin_night"): _margin,
    ("feed", "margin_least"): _least,
    ("junction", "volts_day"): partial(_volts, False),
    ("junction", "volts_night"): partial(_volts, True),
    ("junction", "amps_day"): partial(_junction_amps, False),
    ("junction", "amps_night"): partial(_junction_amps, True),
    ("junction", "metres_total"): partial(_metres, True),
    ("output", "amps_day"): partial(_output_amps, False),
    ("output", "amps_night"): partial(_output_amps, True),
    ("supply", "amps_day"): partial(_supply_amps, False),
    ("supply", "amps_night"): partial(_supply_amps, True),
    ("supply", "watts_night"): _supply_watts,
    ("supply", "margin_night"): _supply_margin,
    ("supply", "margin_working"): _supply_working,
    ("run", "amps_night"): _run_amps,
    ("run", "amps_max"): partial(_run_limit, False),
    ("run", "device_max"): partial(_run_limit, True),
}
"""By kind of sheet and field."""
