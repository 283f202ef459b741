"""Workings of the power facts: every line computes again from the numbers that stand in it.

One way of writing throughout: `12.6 V - 2 x 85 m x 26 ohm/km x 1.0786 (40 degC) x 0.61 A = 9.45 V at
cameras/slipway`. Words in brackets explain the number before them. Alternating current is solved with
phasors, and its lines then say what was lost, not how the angles add up. Nothing here computes a fact: what was read and
solved is asked of `solved_ways`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.physics.single_run import most_watts
from coaxwright.facts.power.conductor_limits import conductor_limits
from coaxwright.facts.power.loads import CONSTANT_POWER, load_of
from coaxwright.facts.power.power_trees import Source
from coaxwright.facts.power.solved_ways import Way, solved_of
from coaxwright.facts.sheets import Camera, DeviceFeed, Feed, Junction, Output, Run, Supply
from coaxwright.facts.written import number
from coaxwright.model.site import Hop

Lines = tuple[str, ...]
_TERMS = {"watts_day": "day", "watts_night": "night", "watts_heater": "heater", "watts_motor": "motors"}


def _season(night: bool) -> str:
    return "night" if night else "day"


def _volts(night: bool, context: Context, sheet: Feed | Junction | DeviceFeed) -> Lines:
    """Volts from the source, path by path."""
    way, supply = Way(context, sheet.subject), sheet.source
    lines = list(_source_lines(context, supply, way.source, night))
    before = _terminal(supply, way.source, night)
    for place in way.places:
        # Where the volts at the end are known, those on the way are, and so are the amps.
        volts = way.volts(place, night)
        if volts == 0.0:
            return (*lines, *_collapse(context, sheet, night))
        lines.append(_drop(way, place, before, volts, night, supply.gives == "ac"))
        lines += _flow(way, place, night)
        before = volts
    return tuple(dict.fromkeys((*lines, *way.sources(way.places))))


def _drop(way: Way, place: int, before: float, volts: float, night: bool, alternating: bool) -> str:
    at, amps = f"{number(volts)} V at {way.path(place).subject}", number(way.amps(place, night) or 0.0)
    if alternating:
        note = f"lost to {amps} A over {way.terms([place])}, added as phasors"
        return f"{number(before)} V - {number(before - volts)} V = {at} ({note})"
    lost = "".join(f" - {term} x {amps} A" for term in way.terms_of([place]))
    return f"{number(before)} V{lost} = {at}"


def _flow(way: Way, place: int, night: bool) -> Iterator[str]:
    """The current that was used: the load's, or the sum of what leaves a junction."""
    path, amps = way.path(place), way.amps(place, night) or 0.0
    if path.owner_kind == "junction":
        pieces = [(way.path(each).subject, way.amps(each, night)) for each in way.below(place)]
        terms = " + ".join(f"{number(each or 0.0)} A ({subject})" for subject, each in pieces) or "0 A"
        yield f"{terms} = {number(amps)} A through {path.subject}"
    else:
        yield _load_line(way, place, night, way.volts(place, night))


def _load_line(way: Way, place: int, night: bool, volts: float) -> str:
    """Amps of a load at the volts that it gets."""
    load, factor = way.load(place), way.factor_words(place)
    amps = f"{number(way.amps(place, night) or 0.0)} A drawn by {way.path(place).subject} by {_season(night)}"
    watts, nominal = number(load.watts(night) or 0.0), number(load.volts or 0.0)
    if load.kind == CONSTANT_POWER:
        return f"{watts} W / {number(volts)} V{factor} = {amps} (constant power)"
    if load.kind == "constant-current":
        return f"{watts} W / {nominal} V (nominal){factor} = {amps} (constant current)"
    return f"{number(volts)} V x {watts} W / {nominal} V / {nominal} V = {amps} (resistive)"


def _source_lines(context: Context, supply: Supply, source: Source, night: bool) -> Iterator[str]:
    """Volts of a supply without load, and behind its own resistance."""
    regulation = context.part(supply.part).regulation
    if regulation:
        rise = f"{number(regulation)} (regulation) x {number(supply.volts_nominal)} V"
        start = f"{number(supply.volts)} V ({_volts_word(supply)})"
        yield f"{start} + {rise} = {number(source.volts)} V at {supply.subject} without load"
    else:
        yield f"{number(source.volts)} V at {supply.subject} ({_volts_word(supply)})"
    amps = supply.known("amps_night" if night else "amps_day")
    if source.ohm and amps is not None and supply.gives == "dc":
        end = f"{number(source.terminal(amps))} V at the terminals of {supply.subject}"
        yield f"{number(source.volts)} V - {number(source.ohm)} ohm (of the supply) x {number(amps)} A = {end}"


def _volts_word(supply: Supply) -> str:
    """What the volts of a supply on mains are."""
    if supply.trimmed:
        return "trim"
    return "nominal, no trim is written" if supply.known("volts_float") is None else "least while its battery is kept charged"


def _terminal(supply: Supply, source: Source, night: bool) -> float:
    """Volts from which the lines go on: behind the resistance of the supply where its current is known."""
    amps = supply.known("amps_night" if night else "amps_day")
    return source.volts if supply.gives == "ac" or amps is None else source.terminal(amps)


def _collapse(context: Context, sheet: Feed | Junction | DeviceFeed, night: bool) -> Iterator[str]:
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
    way = Way(context, sheet.subject)
    if way.alone():
        idle, most, loop = way.source.volts, most_watts(way.source.volts, way.loop_ohms()), way.loop_ohms()
        volts = number(idle)
        return (
            f"{volts} V x {volts} V / 4 / {number(loop)} ohm = {number(most)} W at most can be carried",
            f"{number(most)} W / {number(way.load().night or 0.0)} W = {number(factor)} times the load",
        )
    return (f"all loads that share these cables, times {number(factor)}, is the last with a working voltage",)


def _feed_drop(context: Context, sheet: Feed) -> Lines:
    volts = Way(context, sheet.subject).source.volts
    return (f"{number(volts)} V - {number(sheet.volts_night)} V = {number(sheet.drop_night)} V lost",)


def _feed_amps(night: bool, context: Context, sheet: Feed | DeviceFeed) -> Lines:
    way, volts = Way(context, sheet.subject), sheet.known("volts_night" if night else "volts_day")
    if volts == 0.0:
        asked = number(sheet.source.volts)
        why = f"no working voltage: the watts stated, at the {asked} V of {sheet.source.subject}"
        return (_load_line(way, way.places[-1], night, sheet.source.volts), why)
    if not volts and way.load().kind != "constant-current":
        return ()
    return (_load_line(way, way.places[-1], night, volts or 0.0),)


def _idle(context: Context, sheet: Feed | DeviceFeed) -> Lines:
    source = Way(context, sheet.subject).source
    return (*_idle_source(context, sheet.source, source), "no current, so nothing is lost on the way")


def _idle_source(context: Context, supply: Supply, source: Source) -> Lines:
    """The most that a supply gives without load."""
    most = supply.known("volts_float")
    if most is None or most == supply.volts:
        return tuple(_source_lines(context, supply, source, True))[:1]
    regulation, idle = context.part(supply.part).regulation, source.idle
    rise = f" + {number(regulation)} (regulation) x {number(supply.volts_nominal)} V" if regulation else ""
    at = f"{number(idle)} V at {supply.subject} without load" if rise else f"at {supply.subject}"
    row = context.ledger.values["battery-float-greatest"]
    boosts = most == context.part(supply.part).boost_volts
    charged = "its battery charged hard, as its part states" if boosts else f"its battery full, {row.written} a cell"
    start = f"{number(most)} V ({charged}){rise}"
    return (f"{start} = {at}" if rise else f"{start} {at}", *(() if boosts else (f"{row.written} a cell assumed: {row.source}",)))


def _feed_ohms(total: bool, context: Context, sheet: Feed | DeviceFeed) -> Lines:
    way = Way(context, sheet.subject)
    places = way.places if total else way.places[-1:]
    result = f"{number(sheet.ohms_total)} ohm from the supply" if total else f"{number(sheet.known('ohms'))} ohm"
    return (f"{way.terms(places)} = {result}", *dict.fromkeys(way.sources(places)))


def _metres(total: bool, context: Context, sheet: Feed | Junction | DeviceFeed) -> Lines:
    way = Way(context, sheet.subject)
    places = way.places if total else way.places[-1:]
    runs = [each.known("metres") for place in places for each in way.solved.runs[place].runs]
    result = sheet.metres_total if total else sheet.known("metres")
    return (f"{' + '.join(f'{number(run)} m' for run in runs if run) or '0 m'} = {number(result)} m",)


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
    way = Way(context, sheet.subject)
    return tuple(_flow(way, way.places[-1], night))


def _output_amps(night: bool, context: Context, sheet: Output) -> Lines:
    done = solved_of(context, sheet.supply.name)
    total = sheet.amps_night if night else sheet.amps_day
    roots = zip(done.tree.paths, done.tree.parents, done.states, strict=True)
    joined = ((path, state) for path, above, state in roots if above < 0 and path.target is not None)
    own = ((path, state) for path, state in joined if path.target is not None and path.target.number == sheet.number)
    terms = [f"{number(state.amps(night) or 0.0)} A ({path.subject})" for path, state in own]
    return (f"{' + '.join(terms) or '0 A'} = {number(total)} A at {sheet.subject}",)


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
    volts = number(solved_of(context, sheet.name).source.terminal(sheet.amps_night))  # type: ignore[union-attr]
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
    model = context.loaded.site.cameras[sheet.name]
    load = load_of(model.part, context.part(model.part), context.ledger, heater=model.heater)
    terms = load.night_sum if night else load.day_sum
    total = number(load.watts(night) or 0.0)
    lines = [f"{' + '.join(f'{number(value)} W ({_TERMS[name]})' for name, value in terms)} = {total} W"]
    if night and "lampless-night" in load.assumed:
        lines.append(context.ledger.values["lampless-night"].about)
    return (*lines, f"{sheet.part}: {context.part(sheet.part).source}")


def _device_watts(context: Context, sheet: DeviceFeed) -> Lines:
    way = Way(context, sheet.subject)
    terms = " + ".join(f"{number(value)} W ({_TERMS[name]})" for name, value in way.load().night_sum)
    return (f"{terms} = {number(sheet.watts_night)} W",)


def _told(context: Context, sheet: DeviceFeed) -> Lines:
    if sheet.volts_night:
        return ("it has a working voltage by night",)
    what = "no camera goes dark with it" if sheet.speaks_for_collapse else "a camera that goes dark with it tells it"
    return (what,)


def _cameras(context: Context, sheet: Junction) -> Lines:
    named = list(_hanging(context, sheet.name))
    return (f"{sheet.cameras}: {', '.join(named)}" if named else "no camera hangs on it",)


def _hanging(context: Context, junction: str) -> Iterator[str]:
    """The cameras that hang on a junction, through others too."""
    for path in context.topology.lists.taps.get(junction, ()):
        if path.owner_kind == "junction":
            yield from _hanging(context, path.owner)
        elif path.owner_kind == "camera":
            yield path.owner


def _depth(context: Context, sheet: Junction) -> Lines:
    way = Way(context, sheet.subject)
    return (" < ".join([way.solved.tree.root, *(way.path(place).owner for place in way.places)]),)


def _run_amps(night: bool, context: Context, sheet: Run) -> Lines:
    return (f"{number(sheet.amps_night if night else sheet.amps_day)} A, that of {sheet.owner} by {'night' if night else 'day'}",)


def _run_limit(device: bool, context: Context, sheet: Run) -> Lines:
    """The figure at 30 °C and its factors; the device where a code names one."""
    if sheet.known("air") is None:
        return f"{number(sheet.amps_max)} A, as its part states", f"source: {context.part(sheet.cable).source}"
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
    ("device_feed", "volts_day"): partial(_volts, False),
    ("device_feed", "volts_night"): partial(_volts, True),
    ("device_feed", "volts_idle"): _idle,
    ("device_feed", "amps_day"): partial(_feed_amps, False),
    ("device_feed", "amps_night"): partial(_feed_amps, True),
    ("device_feed", "watts_night"): _device_watts,
    ("device_feed", "speaks_for_collapse"): _told,
    ("device_feed", "metres_total"): partial(_metres, True),
    ("device_feed", "ohms_total"): partial(_feed_ohms, True),
    ("junction", "cameras"): _cameras,
    ("junction", "depth"): _depth,
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
    ("run", "amps_day"): partial(_run_amps, False),
    ("run", "amps_night"): partial(_run_amps, True),
    ("run", "amps_max"): partial(_run_limit, False),
    ("run", "device_max"): partial(_run_limit, True),
}
"""By kind of sheet and field."""
