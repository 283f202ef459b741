"""From values out of bounds to the likeliest cause: what would make the meter show just that.

One thing is looked for before many: a supply before its cameras, the line before its camera. A line's resistance points to
its conductor by the ratio of measured to expected: copper-clad aluminium has 1.6 times that of copper (table
`conductor-materials`), a smaller size that of the two sections, anything else is a contact or more cable.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from statistics import median

from coaxwright.handover.expected import Expected, coax_ohms
from coaxwright.handover.plan import Plan
from coaxwright.immutable import immutable
from coaxwright.reading.tables import load_table
from coaxwright.schedules.runs import Line
from coaxwright.show.figures import plain

_NEAR = 0.09
"""How far the logarithm of a ratio may lie from that of a known cause."""
_SHORTED = 0.25
"""A loop below this share of the expected one is no longer the cable."""
_ALIKE_VOLTS = 0.3
"""Cameras of one supply that are off by one thing are off by the same, within the loss of their own lines."""
_OFF = 1.0
_ONE_WAY = 0.25
"""How far the logarithms of two ratios may differ that come from one longer way: connectors and leads blur the lesser."""
_SMALLER = (0.22, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0)


@immutable
class Cause:
    """What most likely stands behind readings (`codes`), and what to do next to be sure."""

    words: str
    codes: tuple[str, ...]
    next: str


@immutable
class Off:
    """A reading out of its bounds; `high` where it is above."""

    expected: Expected
    value: float
    high: bool
    place: str

    @property
    def ratio(self) -> float:
        """Measured over expected; 1 where nothing was expected."""
        return self.value / self.expected.exact if self.expected.exact else 1.0


Values = Mapping[str, float]


def causes(plan: Plan, off: Mapping[str, Off], values: Values) -> list[Cause]:
    """Causes, the one that explains most first; every reading that is off stands under one."""
    found = [*_supplies(plan, off, values)]
    told = {code for cause in found for code in cause.codes}
    for line in plan.lines:
        for cause in _of_line(plan, line, off, values, told):
            found.append(cause)
            told.update(cause.codes)
    for code, each in off.items():
        if code not in told:
            found.append(_alone(plan, each))
    rank = {code: place for place, code in enumerate(off)}
    return sorted(found, key=lambda cause: (-len(cause.codes), min(rank.get(code, 0) for code in cause.codes)))


# A supply and all that hangs on it


def _supplies(plan: Plan, off: Mapping[str, Off], values: Values) -> Iterator[Cause]:
    for name in plan.loaded.site.supplies:
        code = f"supplies/{name}/supply-volts"
        cameras = _fed_by(plan, f"supplies/{name}")
        shifts = {
            volts: off[volts].value - (off[volts].expected.value or 0.0)
            for volts in (f"{camera}/volts-night" for camera in cameras)
            if volts in off and f"{volts.rpartition('/')[0]}/power-loop" not in off and off[volts].value > _OFF
        }
        if code in off:
            yield _trim(plan, name, off[code], shifts)
        elif code not in values and len(shifts) > 1 and max(shifts.values()) - min(shifts.values()) < _ALIKE_VOLTS:
            by = median(shifts.values())
            words = f"{name} gives about {plain(abs(by), 1)} V {'more' if by > 0 else 'less'} than drawn"
            words += f": {len(shifts)} cameras of it are off alike"
            yield Cause(words, tuple(shifts), f"measure the volts at the outputs of {name}, all lamps on")


def _trim(plan: Plan, name: str, off: Off, shifts: Mapping[str, float]) -> Cause:
    expected, wrong = off.expected.value or 0.0, off.value - (off.expected.value or 0.0)
    codes = (off.expected.code, *(code for code, by in shifts.items() if abs(by - wrong) < max(_ALIKE_VOLTS, abs(wrong) / 2)))
    words = f"{name} gives {plain(off.value, 2)} V and not {plain(expected, 2)} V: its trim is set otherwise"
    if not off.high:
        words += ", or it is asked for more than it can give"
    return Cause(words, codes, f"set {name} to {plain(expected, 1)} V with all lamps on, then measure the cameras again")


def _fed_by(plan: Plan, supply: str) -> list[str]:
    """Cameras whose power comes from a supply, through junctions too."""
    feeds = plan.facts.by_kind("feed")
    return [each.subject for each in feeds if getattr(each.known("source"), "subject", None) == supply]


# One line


def _of_line(plan: Plan, line: Line, off: Mapping[str, Off], values: Values, told: set[str]) -> Iterator[Cause]:
    if line.use == "power":
        yield from _of_power(plan, line, off, values, told)
    elif line.use == "video":
        yield from _of_coax(plan, line, off, told)


def _of_power(plan: Plan, line: Line, off: Mapping[str, Off], values: Values, told: set[str]) -> Iterator[Cause]:
    """The loop of the line first; without it, the volts at its end."""
    loop, volts = off.get(f"{line.subject}/power-loop"), off.get(f"{line.subject}/volts-night")
    volts = None if volts is not None and volts.expected.code in told else volts
    numbers = ", ".join(plan.numbers_of(line.subject, "power"))
    if loop is not None and _longer(loop, off.get(f"{line.subject}/coax-loop")):
        yield _longer_way(plan, line, loop, off, told)
    elif loop is not None:
        behind = [f"{each}/volts-night" for each in _behind(plan, line) if f"{each}/volts-night" in off]
        codes = (loop.expected.code, *(code for code in behind if code not in told))
        yield Cause(f"{numbers}: {_loop_words(plan, line, loop)}", codes, _loop_next(loop))
    elif volts is not None:
        yield _volts_alone(plan, line, volts, numbers, f"{line.subject}/power-loop" in values)


def _longer(power: Off, coax: Off | None) -> bool:
    """Whether both lines of a camera are off by one share: then the way is another, not the cables. Its power line tells it."""
    if coax is None or math.isinf(power.value) or math.isinf(coax.value):
        return False
    return power.ratio > 0 < coax.ratio and power.high == coax.high and abs(math.log(power.ratio / coax.ratio)) < _ONE_WAY


def _longer_way(plan: Plan, line: Line, loop: Off, off: Mapping[str, Off], told: set[str]) -> Cause:
    measures = ("power-loop", "coax-loop", "loss", "volts-night")
    codes = tuple(code for each in measures if (code := f"{line.subject}/{each}") in off and code not in told)
    metres = sum(hop.metres or 0.0 for hop in line.hops)
    numbers = ", ".join([*plan.numbers_of(line.subject, "power"), *plan.numbers_of(line.subject, "video")])
    words = f"{numbers}: both read as some {plain(metres * loop.ratio, 0)} m and not {plain(metres, 0)} m: the way is "
    after = "read the metre marks on the sheaths, and put the lengths into the plan"
    return Cause(f"{words}{'longer' if loop.high else 'shorter'} than drawn", codes, after)


def _behind(plan: Plan, line: Line) -> list[str]:
    """Cameras that are fed over a line: its own, or all that hang on its junction."""
    if line.subject.startswith("cameras/"):
        return [line.subject]
    name = line.subject.partition("/")[2]
    return [
        each.subject for each in plan.facts.by_kind("feed")
        if getattr(each.known("junction"), "name", None) == name
    ]  # fmt: skip


def _loop_words(plan: Plan, line: Line, off: Off) -> str:
    expected = off.expected.value or 0.0
    if math.isinf(off.value) or off.ratio > 50:
        return "the line is open: a wire that is broken, or not clamped"
    if off.ratio < _SHORTED:
        return f"{plain(off.value, 1)} ohm and not {plain(expected, 1)}: the two cores touch before the far end"
    more = off.value - expected
    metres = sum(hop.metres or 0.0 for hop in line.hops)
    if not off.high:
        return (
            f"{plain(off.value, 1)} ohm and not {plain(expected, 1)}: less cable than the {plain(metres, 0)} m drawn (as if "
            f"{plain(metres * off.ratio, 0)} m), or thicker conductors"
        )
    likely = _conductor(plan, line, off.ratio)
    head = f"{plain(off.value, 1)} ohm and not {plain(expected, 1)}"
    longer = f"some {plain(metres * (off.ratio - 1), 0)} m more cable than drawn"
    if likely:
        return f"{head}: as {likely} would have; else {longer}, or {plain(more, 1)} ohm in a contact"
    return f"{head}: {plain(more, 1)} ohm too much, as of a bad clamp or joint, or of {longer}"


def _conductor(plan: Plan, line: Line, ratio: float) -> str:
    """The conductor that has so many times the resistance of the one drawn; empty where none fits."""
    parts = [plan.loaded.catalogue.part(hop.cable).conductor for hop in line.hops if hop.cable is not None]
    if len(parts) != 1 or parts[0] is None:
        return ""
    size, material = parts[0].size, parts[0].material or "copper"
    fits: list[tuple[float, str]] = []
    if material == "copper":
        metals = load_table("conductor-materials")
        fits += [
            (metals.row(metal)["factor"], f"{metal.replace('-', ' ')} in place of copper")
            for metal in ("copper-clad-aluminium", "copper-clad-steel")
        ]
    if size is not None:
        fits += [(size / each, f"{plain(each, 2)} mm² in place of {plain(size, 2)} mm²") for each in _SMALLER if each < size]
    near = sorted((abs(math.log(ratio / factor)), words) for factor, words in fits)
    close = [words for distance, words in near if distance < _NEAR]
    return " or ".join(close[:2])


def _loop_next(off: Off) -> str:
    if not off.high:
        return "read the metre marks on the sheath, and measure again with both ends unplugged"
    return "open every clamp of the line and measure piece by piece; read what is printed on the sheath"


def _volts_alone(plan: Plan, line: Line, off: Off, numbers: str, loop_holds: bool) -> Cause:
    """Volts that are off although nothing before them is known to be."""
    expected, code = off.expected.value or 0.0, (off.expected.code,)
    head = f"{line.subject.partition('/')[2]} gets {plain(off.value, 2)} V and not {plain(expected, 1)} V"
    if off.value < _OFF:
        return Cause(f"{head}: nothing arrives: a fuse, an output that is off, or {numbers} is open", code,
                     f"measure at {line.target}, then the loop of {numbers}")  # fmt: skip
    if off.high:
        return Cause(f"{head}: the supply gives more, or it hangs on another output than {line.target}", code,
                     f"measure at {line.target}")  # fmt: skip
    if loop_holds:
        return Cause(f"{head}, and its line holds: it draws more than its datasheet says, or something else hangs on it", code,
                     f"measure the current at {line.target}, lamps on")  # fmt: skip
    return Cause(f"{head}: {numbers} loses more than drawn (a contact, a thinner conductor), or it draws more", code,
                 f"measure the loop of {numbers}")  # fmt: skip


# Coax


def _of_coax(plan: Plan, line: Line, off: Mapping[str, Off], told: set[str]) -> Iterator[Cause]:
    loop, loss = (off.get(f"{line.subject}/{measure}") for measure in ("coax-loop", "loss"))
    numbers = ", ".join(plan.numbers_of(line.subject, "video"))
    power = off.get(f"{line.subject}/power-loop")
    if loop is not None and (loop.expected.code in told or (power is not None and _longer(power, loop))):
        return
    if loop is not None:
        codes = (loop.expected.code, *((loss.expected.code,) if loss is not None and loss.high else ()))
        again = "open and make both connectors anew, then measure again; read what is printed on the sheath"
        yield Cause(f"{numbers}: {_coax_words(plan, line, loop)}", codes, again)
    elif loss is not None and loss.expected.code not in told:
        expected = loss.expected.value or 0.0
        words = f"{numbers}: {plain(loss.value, 1)} dB and not {plain(expected, 1)}: "
        more, less = "a connector, water in the cable, a kink, or poorer coax", "less cable than drawn, or better coax"
        words += more if loss.high else less
        yield Cause(words, (loss.expected.code,), "measure the coax loop, then with other connectors")


def _coax_words(plan: Plan, line: Line, off: Off) -> str:
    expected = off.expected.value or 0.0
    if math.isinf(off.value) or off.ratio > 50:
        return "the coax is open: a connector, or the cable is cut"
    head = f"{plain(off.value, 1)} ohm and not {plain(expected, 1)}"
    if off.ratio < _SHORTED:
        return f"{head}: centre and screen touch, most often in a connector"
    if not off.high:
        metres = sum(hop.metres or 0.0 for hop in line.hops)
        return f"{head}: less cable than the {plain(metres, 0)} m drawn, or coax with a thicker centre"
    steel = _with_steel(plan, line)
    if steel is not None and steel[0] * 0.9 <= off.value <= steel[1] * 1.1:
        return f"{head}: as a clad steel centre would have in place of copper"
    return f"{head}: {plain(off.value - expected, 1)} ohm too much, as of a bad connector or a joint, or more cable than drawn"


def _with_steel(plan: Plan, line: Line) -> tuple[float, float] | None:
    """The loop of the same line with a centre of clad steel; None where no such type is known."""
    least = most = 0.0
    for hop in line.hops:
        name = "" if hop.cable is None else plan.kind_words(hop.cable)
        steel = f"{name.partition('-')[0]}-ccs"
        if "copper" not in name or not plan.loaded.catalogue.has(steel):
            return None
        found = coax_ohms(plan, hop.model_copy(update={"cable": steel}))
        if found is None:
            return None
        least, most = least + found[0], most + found[1]
    return least, most


# What stands by itself


def _alone(plan: Plan, off: Off) -> Cause:
    """A reading that no line explains."""
    each, name = off.expected, off.expected.subject.partition("/")[2]
    expected = each.value or 0.0
    head = f"{name}: {plain(off.value, 2)} {each.unit} and not {plain(expected, 1)}"
    code = (each.code,)
    if each.measure == "density":
        focal = plan.known(each.subject, "view", "focal")
        set_to = f": as with a focal length of {plain(focal * off.ratio, 1)} mm and not {plain(focal, 1)}" if focal else ""
        target = f"a target {'nearer' if off.high else 'farther away'}"
        return Cause(f"{head}{set_to}, or {target}", code, "set the lens again and count anew")
    if each.measure == "rate":
        low, high = "the channel is set lower, or the camera sends another mode", "the channel is set higher than drawn"
        return Cause(f"{head}: {high if off.high else low}", code, "read rate and mode of the channel in the recorder")
    if each.measure == "bitrate":
        days = plan.known(f"{each.subject}/disks", "disk_group", "days")
        kept = f"; {int(days / off.ratio)} days are kept and not {int(days)}" if days and off.high else ""
        low, high = "channels are off, or set lower", "rates or quality are set higher, or more moves"
        after = "compare rate, size and bits a second of every channel with the patch list"
        return Cause(f"{head}: {high if off.high else low}{kept}", code, after)
    words = f"{head}: out of bounds, and nothing else that was measured explains it"
    return Cause(words, code, "measure again with another meter")
