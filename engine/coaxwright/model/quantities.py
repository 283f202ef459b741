"""Quantities: how a number with a unit is written, read and printed.

A quantity is one decimal number and one unit of a closed list for its kind: `85 m`, `0.75 mm2`, `4 TB`. Every
kind reads to a float in one base unit (`KINDS[name].base`): the rest of the program never sees a spelling.
What cannot be read is a `QuantityError` in two parts: what is wrong, and what would be right.
Not here: arithmetic on units (the rule language has its own), places, guesses (a bare number is refused).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction as Ratio
from typing import Annotated, Any

from coaxwright.immutable import immutable
from coaxwright.portable import power

_MAX_TEXT = 64
_MAX_DIGITS = 20
_MAX_CACHED = 65_536
_SPACES = "[ \u00a0\u2009\u202f]*"
_NUMBER = r"(?:0|[1-9][0-9]*)?(?:\.[0-9]+)?(?:[eE][+-]?[0-9]{1,2})?"
_NAME = r"(?![eE][+-]?[0-9])(?:/?[^\W0-9_]|[°%\u2103\u2109]).*?|"
_WRITTEN = re.compile(rf"{_SPACES}([+\-\u2212]?)((?=[0-9.]){_NUMBER}){_SPACES}({_NAME}){_SPACES}")
_SIZE = "[0-9]{1,2}|[1-4]/0"
_GAUGE = re.compile(rf"{_SPACES}(?:(?:AWG|awg) ?({_SIZE})|({_SIZE}) ?(?:AWG|awg)){_SPACES}")
_FEET_INCHES = re.compile(rf"{_SPACES}([0-9]{{1,6}}) ?ft {_SPACES}([0-9]{{1,2}}(?:\.[0-9]+)?) ?in{_SPACES}")
_LOOSE_UNIT = re.compile(r"[+\-\u2212]?[0-9.,eE+\-]*\s*([^0-9\s.,+\-].*)")


class QuantityError(ValueError):
    """A quantity that cannot be read: `what` is wrong, what would be `right`; neither ends in a stop."""

    def __init__(self, what: str, right: str) -> None:
        self.what = _visible(what)
        self.right = _visible(right)
        super().__init__(f"{self.what}; {self.right}")


def quoted(value: object, most: int = 48) -> str:
    """A piece of user text in backticks, shortened; control and invisible characters shown as escapes."""
    shown = _visible((value if isinstance(value, str) else _plain(value))[: most + 1])
    return f"`{shown[:most]}…`" if len(shown) > most else f"`{shown}`"


def _visible(text: str) -> str:
    return "".join(ch if ch.isprintable() else ascii(ch)[1:-1] for ch in text)


def _plain(value: object) -> str:
    """A document value as it is written in the file."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (list, tuple)):
        return "a list"
    return "a group of keys" if isinstance(value, dict) else str(value)


@immutable
class Unit:
    """One spelling: value in base units = `scale` * number + `offset`."""

    scale: Ratio
    offset: Ratio = Ratio(0)


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """One kind of quantity: its name, its base unit, all spellings, and the range that can be meant.

    An instance is also a pydantic annotation: `Annotated[float, KINDS["length"]]` reads text to base units.
    """

    name: str
    noun: str
    base: str
    units: Mapping[str, Unit]
    least: float
    greatest: float
    examples: tuple[str, ...]
    advice: Mapping[str, str] = field(default_factory=dict)
    _known: dict[object, float] = field(default_factory=dict, repr=False)

    @property
    def spellings(self) -> tuple[str, ...]:
        """All units that may be written, in the order of the documentation."""
        return (*self.units, "AWG") if self.takes_gauge else tuple(self.units)

    @property
    def takes_gauge(self) -> bool:
        """Whether `18 AWG` may be written."""
        return self.name == "conductor_size"

    @property
    def written(self) -> str:
        """How it is written, for messages: `85 m or 280 ft`."""
        return " or ".join(self.examples[:2])

    def read(self, value: object) -> float:
        """What was written, in base units. Raises QuantityError. A known spelling costs one dict look-up."""
        try:
            return self._known[value]
        except (KeyError, TypeError):
            return self._read_new(value)

    def _read_new(self, value: object) -> float:
        if not isinstance(value, str):
            raise _no_text(self, value)
        number = _parse(self, value)
        _check_range(self, value, number)
        if len(self._known) >= _MAX_CACHED:
            self._known.clear()
        self._known[value] = number
        return number

    def pattern(self) -> str:
        """A regular expression (ECMA 262 and Python alike) that accepts every spelling of this kind."""
        units = "|".join(re.escape(unit).replace(r"\ ", " ").replace("/", r"\/") for unit in self.units)
        shapes = [rf"[+\-\u2212]?(?=[0-9.]){_NUMBER}{_SPACES}(?:{units})"]
        if self.takes_gauge:
            shapes.append(r"(?:AWG|awg) ?(?:[0-9]{1,2}|[1-4]\/0)|(?:[0-9]{1,2}|[1-4]\/0) ?(?:AWG|awg)")
        if self.name == "length":
            shapes.append(rf"[0-9]{{1,6}} ?ft {_SPACES}[0-9]{{1,2}}(?:\.[0-9]+)? ?in")
        return f"^{_SPACES}(?:{'|'.join(shapes)}){_SPACES}$"

    def schema(self) -> dict[str, Any]:
        """The JSON Schema (2020-12) of a field of this kind."""
        text = f"{self.noun[0].upper()}{self.noun[1:]} with its unit; units: {', '.join(self.spellings)}."
        examples = list(self.examples)
        return {"type": "string", "pattern": self.pattern(), "description": text, "examples": examples}

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> object:
        """Pydantic's hook: one call of `read`."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core: object, handler: object) -> dict[str, Any]:
        """Pydantic's hook for schemas/."""
        return self.schema()


def _parse(kind: Kind, text: str) -> float:
    """The value in base units, range not yet checked."""
    if len(text) > _MAX_TEXT:
        raise QuantityError(f"{quoted(text, 24)} is {len(text)} characters long", f"write {kind.written}")
    special = _parse_special(kind, text)
    if special is not None:
        return special
    match = _WRITTEN.fullmatch(text)
    if match is None or sum(ch.isdigit() for ch in match[2]) > _MAX_DIGITS:
        raise _unreadable(kind, text)
    sign, number, spelling = match.groups()
    unit = kind.units.get(spelling)
    if unit is None:
        raise _wrong_unit(kind, text, number, spelling)
    value = Ratio(number) * unit.scale
    return float((-value if sign in ("-", "\u2212") else value) + unit.offset)


def _parse_special(kind: Kind, text: str) -> float | None:
    """Wire gauges and feet with inches, which are not one number and one unit."""
    if kind.takes_gauge and (gauge := _GAUGE.fullmatch(text)):
        return awg_to_mm2(gauge[1] or gauge[2])
    if kind.name == "length" and (mixed := _FEET_INCHES.fullmatch(text)):
        inches = Ratio(mixed[2])
        if inches >= 12:
            raise QuantityError(f"{quoted(text)} has 12 inches or more", "write them as feet")
        return float(Ratio(mixed[1]) * Ratio("0.3048") + inches * Ratio("0.0254"))
    return None


def awg_to_mm2(gauge: str | int) -> float:
    """Area in mm2 of a solid wire of gauge 0 to 40, or `1/0` to `4/0`: diameters progress as in ASTM B258."""
    text = str(gauge)
    number = 1 - int(text[0]) if text.endswith("/0") else int(text)
    if number > 40 or (number < 0 and not text.endswith("/0")):
        raise QuantityError(f"there is no gauge {quoted(text)}", "write 4/0 AWG to 40 AWG, or an area in mm2")
    return math.pi / 4 * (diameter := 0.127 * power(92.0, (36 - number) / 39)) * diameter


def _check_range(kind: Kind, text: str, value: float) -> None:
    """Refuse what cannot be meant: below the least or beyond the greatest value of the kind."""
    if kind.least <= value <= kind.greatest:
        return
    below = value < kind.least
    limit = kind.least if below else kind.greatest
    shown = format_pair(value, limit, "%" if kind.base == "1" else kind.base)[1]
    what = f"{quoted(text)} is too {'small' if below else 'large'} for {kind.noun}"
    raise QuantityError(what, f"the {'least' if below else 'most'} is {shown}")


# What is said of each thing that cannot be read.


def _no_text(kind: Kind, value: object) -> QuantityError:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return _bare(kind, quoted(value, 24), f"{value}" if len(str(value)) <= _MAX_DIGITS else "")
    return QuantityError(f"{quoted(value)} is not {kind.noun}", f"write {kind.written}")


def _bare(kind: Kind, shown: str, number: str) -> QuantityError:
    if kind.name == "fraction" and re.fullmatch(r"0?\.[0-9]{1,12}", number):
        number = f"{float(Ratio(number) * 100):g}"
    units = [example.split()[-1] for example in kind.examples[:2]]
    forms = " or ".join(f"{number} {unit}" for unit in dict.fromkeys(units)) if number else kind.written
    return QuantityError(f"{shown} has no unit and {kind.noun} needs one", f"write {forms}")


def _unreadable(kind: Kind, text: str) -> QuantityError:
    """The clearest words for text that is not one number and one unit."""
    shown = quoted(text, 32)
    if not text.strip():
        return QuantityError(f"{kind.noun} is missing", f"write {kind.written}")
    if any(ch.isdecimal() and not ch.isascii() for ch in text):
        return QuantityError(f"{shown} has digits other than 0 to 9", f"write {kind.written}")
    if re.match(r"\s*[+-]?(?:nan|inf(?:inity)?|∞)(?![a-z])", text, re.IGNORECASE):
        return QuantityError(f"{shown} is not a finite number", f"write {kind.written}")
    return _unreadable_number(kind, text, shown)


def _unreadable_number(kind: Kind, text: str, shown: str) -> QuantityError:
    number = re.match(r"\s*[+-]?([0-9.,]*)(?:[eE][+-]?([0-9]+))?", text)
    digits, exponent = (number[1], number[2]) if number else ("", None)
    if re.search("[0-9],[0-9]", digits):
        return QuantityError(f"the comma in {shown} can be read in two ways", _comma_advice(text))
    if len(exponent or "") > 2:
        return QuantityError(f"{shown} is not a finite number within range", f"write {kind.written}")
    if len(digits) > _MAX_DIGITS:
        return QuantityError(f"{shown} has {len(digits)} digits", f"write at most {_MAX_DIGITS}")
    if re.match(r"0[0-9]", digits):
        return QuantityError(f"{shown} starts with a needless 0", f"write {text.strip().lstrip('0')}")
    if re.search(r"['\"′″]", text) and kind.name == "length":
        return QuantityError(f"{shown} uses quote marks for feet or inches", "write 5 ft 6 in")
    return QuantityError(f"{shown} is not one number with a unit", f"{kind.noun} is written {kind.written}")


def _comma_advice(text: str) -> str:
    """`1,5 m` -> write 1.5 m; `1,000 m` -> both readings."""
    if re.search(r",[0-9]{3}(?![0-9])", text) or text.count(",") > 1:
        return f"write {text.strip().replace(',', '')} if thousands are meant, or a decimal point"
    return f"write {text.strip().replace(',', '.', 1)}"


def _wrong_unit(kind: Kind, text: str, number: str, spelling: str) -> QuantityError:
    """A number that can be read, with no unit, another kind's unit, or none that is known."""
    shown = quoted(text)
    if not spelling:
        return _bare(kind, shown, text.strip())
    if spelling in kind.advice:
        what = f"{shown} cannot be used: {kind.advice[spelling]}"
        return QuantityError(what, _advised(kind, number, spelling))
    if len(pieces := spelling.split()) > 1 and all(piece in kind.units for piece in pieces):
        return QuantityError(f"{shown} has {len(pieces)} units behind one number", f"write {number} {pieces[0]}")
    near = _nearest_unit(kind, spelling)
    other = next((other for other in KINDS.values() if spelling in other.units), None)
    if other is not None and near is None:
        return QuantityError(f"{shown} is {other.noun}", f"{kind.noun} is written {kind.written}")
    right = f"did you mean {number} {near}?" if near else f"write one of: {', '.join(kind.spellings)}"
    return QuantityError(f"{quoted(spelling)} is not a unit of {kind.noun}", right)


def _advised(kind: Kind, number: str, spelling: str) -> str:
    if kind.advice[spelling] == _BITS:
        bits = spelling.replace("KB", "kB").replace("Bps", "B/s").replace("B", "b")
        return f"write {format_quantity(float(number) * 8, '1')} {bits} if bytes are meant, {number} {bits} if bits"
    return f"write {kind.written}"


def _nearest_unit(kind: Kind, spelling: str) -> str | None:
    """The unit that was probably meant: the same but for capitals, spaces and marks, else a near spelling."""
    folded = {unit.casefold().replace(" ", ""): unit for unit in reversed(list(kind.units))}
    word = spelling.casefold().replace(" ", "").replace("^", "").rstrip(".")
    if word in folded:
        return folded[word]
    if len(word) < 3 or any(spelling in other.units for other in KINDS.values()):
        return None
    from difflib import get_close_matches

    close = get_close_matches(word, folded, n=1, cutoff=0.75)
    return folded[close[0]] if close else None


# The closed lists, `scale: spelling, spelling; scale: ...`; `5/9 -160/9` is scale and offset. Exact factors:
# 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 yd = 0.9144 m (international yard and pound agreement of 1959); decimal
# prefixes: SI brochure; binary prefixes: IEC 80000-13.

_BITS = "it counts bytes, and a bit rate is written in bits (1 byte is 8 bits)"
_BYTES = "it can mean 1000 or 1024 bytes"
_MONTH = "a month has no fixed length, so count in days"
_YEAR = "a year has no fixed length, so count in days"
_LEVEL = "it is a level against a reference, not a ratio"


def _kind(
    name: str, noun: str, base: str, units: str, bounds: tuple[float, float], examples: str, advice: str = ""
) -> Kind:
    """One row: `units` as said above, `examples` with `;` between, `advice` as `unit unit: why; ...`."""
    table: dict[str, Unit] = {}
    for group in units.split("; "):
        scale, spellings = group.split(": ")
        unit = Unit(*(Ratio(part) for part in scale.split()))
        table.update(dict.fromkeys(spellings.split(", "), unit))
    reasons = [reason.split(": ") for reason in advice.split("; ") if reason]
    advised = {spelling: why for spellings, why in reasons for spelling in spellings.split()}
    return Kind(name, noun, base, table, *bounds, tuple(examples.split("; ")), advised)


_METRES = "1: m, metres, metre, meters, meter; 1000: km; 0.01: cm; 0.001: mm; 0.3048: ft, feet, foot"
_VOLTS = "1: V, V DC, VDC, Vdc, V dc, V AC, VAC, Vac, V ac; 0.001: mV; 1000: kV"
_OHMS = "1: ohm, ohms, Ω, \u2126; 1000: kohm, kΩ; 0.001: mohm, mΩ"
_OHMS_PER_METRE = (
    "0.001: ohm/km, Ω/km; 1: ohm/m, Ω/m; 0.01: ohm/100m, ohm/100 m, Ω/100m, Ω/100 m;"
    " 5/1524: ohm/1000ft, ohm/1000 ft, Ω/1000ft, Ω/1000 ft"
)
_BYTE_UNITS = "1e12: TB; 1e9: GB; 1e6: MB; 1e3: kB; 1: B; 1e15: PB"
_BINARY_UNITS = f"{2**40}: TiB; {2**30}: GiB; {2**20}: MiB; 1024: KiB"
_BITS_PER_SECOND = "1e6: Mb/s, Mbit/s, Mbps; 1e3: kb/s, kbit/s, kbps, Kbps, Kb/s; 1e9: Gb/s, Gbit/s, Gbps"
_SECONDS = "1: s, second, seconds; 0.001: ms; 1e-6: us, µs, μs; 60: min, minute, minutes; 3600: h"

_ROWS: tuple[Kind, ...] = (
    _kind("length", "a length", "m", f"{_METRES}; 0.0254: in, inch, inches; 0.9144: yd", (0, 1e6),
          "85 m; 280 ft; 5 ft 6 in; 1.2 km"),
    _kind("conductor_size", "a conductor size", "mm2", "1: mm2, mm², sqmm, sq mm, mm^2", (1e-3, 1200),
          "0.75 mm2; 18 AWG", "mm: a diameter is not an area; kcmil: this unit is not read here"),
    _kind("millimetres", "a small length", "mm",
          "1: mm; 0.001: um, µm, μm; 10: cm; 25.4: in, inch, inches", (0, 1e5), "3.6 mm; 0.5 in"),
    _kind("volts", "a voltage", "V", _VOLTS, (0, 1e6), "12.6 V; 24 VAC"),
    _kind("amps", "a current", "A", "1: A; 0.001: mA; 1e-6: uA, µA, μA; 1000: kA", (0, 1e6), "1.2 A; 350 mA"),
    _kind("watts", "a power", "W", "1: W; 0.001: mW; 1000: kW", (0, 1e6), "4.5 W; 350 mW",
          "VA: volt-amperes are not watts"),
    _kind("volt_amps", "an apparent power", "VA", "1: VA; 1000: kVA", (0, 1e6), "40 VA; 1.5 kVA",
          "W: watts are not volt-amperes"),
    _kind("ohms", "a resistance", "ohm", _OHMS, (0, 1e12), "75 ohm; 0.2 ohm"),
    _kind("ohms_per_metre", "a resistance per length", "ohm/m", _OHMS_PER_METRE, (1e-9, 1e4),
          "53 ohm/km; 16.2 ohm/1000ft"),
    _kind("bytes", "a capacity", "B", f"{_BYTE_UNITS}; {_BINARY_UNITS}", (1, 1e18), "4 TB; 512 GB",
          f"KB: {_BYTES}"),
    _kind("bit_rate", "a bit rate", "bit/s", f"{_BITS_PER_SECOND}; 1: bit/s, b/s, bps", (1, 1e13),
          "4 Mb/s; 512 kb/s", f"MB/s kB/s GB/s KB/s MBps B/s: {_BITS}"),
    _kind("days", "a time in days", "d", "1: days, day, d; 7: weeks, week; 1/24: h, hours, hour", (0, 36525),
          "21 days; 3 weeks", f"months month mo: {_MONTH}; years year yr y a: {_YEAR}"),
    _kind("hours", "a time in hours", "h", "1: h, hours, hour; 1/60: min, minutes, minute; 24: days, day, d",
          (0, 876_600), "4 h; 90 min", f"months month: {_MONTH}"),
    _kind("seconds", "a time in seconds", "s", _SECONDS, (0, 3.2e9), "10 s; 200 ms"),
    _kind("frame_rate", "a frame rate", "fps", "1: fps, /s, frames/s", (0.01, 1000), "12.5 fps; 25 fps"),
    _kind("celsius", "a temperature", "degC", "1: °C, degC, C, \u2103; 5/9 -160/9: °F, degF, F, \u2109",
          (-273.15, 2000), "-10 °C; 104 °F",
          "K: temperatures are read in °C and °F; °: it does not say °C or °F"),
    _kind("decibels", "a level in decibels", "dB", "1: dB", (-500, 500), "6 dB; -3 dB",
          f"dBm dBmV dBuV dBµV dBA: {_LEVEL}"),
    _kind("decibels_per_metre", "an attenuation per length", "dB/m",
          "0.01: dB/100m, dB/100 m; 1: dB/m; 25/762: dB/100ft, dB/100 ft; 0.001: dB/km", (0, 1000),
          "9.5 dB/100m; 2.9 dB/100ft"),
    _kind("megahertz", "a frequency", "MHz", "1: MHz; 0.001: kHz; 1000: GHz; 1e-6: Hz", (1e-9, 1e6),
          "37.5 MHz; 500 kHz"),
    _kind("fraction", "a share", "1", "0.01: %, percent", (0, 1), "10 %; 2.5 %"),
    _kind("pixel_density", "a pixel density", "px/m", "1: px/m, pixels/m; 1250/381: px/ft, pixels/ft",
          (0.01, 1e6), "250 px/m; 76 px/ft"),
    _kind("pixel_rate", "a pixel rate", "px/s", "1e6: Mpx/s; 1: px/s; 1e9: Gpx/s", (1, 1e15),
          "148.5 Mpx/s; 96e6 px/s"),
    _kind("lux", "an illuminance", "lx", "1: lux, lx; 1000: klx", (0, 1e6), "0.01 lux; 300 lx"),
    _kind("amp_hours", "a battery capacity", "Ah", "1: Ah; 0.001: mAh", (1e-6, 1e6), "7 Ah; 2500 mAh"),
    _kind("angle", "an angle", "deg", "1: deg, °, degrees, degree", (-360, 360), "90 deg; 30°"),
    _kind("joules", "an energy", "J", "1: J; 0.001: mJ; 1000: kJ", (0, 1e9), "2 J; 500 mJ"),
    _kind("baud", "a line speed", "bit/s", "1: baud, Bd, bit/s, b/s, bps; 1000: kBd, kbit/s, kb/s, kbps",
          (1, 1e8), "9600 baud; 2400 bit/s"),
    _kind("disk_workload", "a yearly workload", "B/year", "1e12: TB/year, TB/yr; 1e15: PB/year, PB/yr",
          (1, 1e20), "180 TB/year; 300 TB/yr"),
)  # fmt: skip

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ROWS}

Length = Annotated[float, KINDS["length"]]
ConductorSize = Annotated[float, KINDS["conductor_size"]]
Millimetres = Annotated[float, KINDS["millimetres"]]
Volts = Annotated[float, KINDS["volts"]]
Amps = Annotated[float, KINDS["amps"]]
Watts = Annotated[float, KINDS["watts"]]
VoltAmps = Annotated[float, KINDS["volt_amps"]]
Ohms = Annotated[float, KINDS["ohms"]]
OhmsPerMetre = Annotated[float, KINDS["ohms_per_metre"]]
Bytes = Annotated[float, KINDS["bytes"]]
BitRate = Annotated[float, KINDS["bit_rate"]]
Days = Annotated[float, KINDS["days"]]
Hours = Annotated[float, KINDS["hours"]]
Seconds = Annotated[float, KINDS["seconds"]]
FrameRate = Annotated[float, KINDS["frame_rate"]]
Celsius = Annotated[float, KINDS["celsius"]]
Decibels = Annotated[float, KINDS["decibels"]]
DecibelsPerMetre = Annotated[float, KINDS["decibels_per_metre"]]
Megahertz = Annotated[float, KINDS["megahertz"]]
Fraction = Annotated[float, KINDS["fraction"]]
PixelDensity = Annotated[float, KINDS["pixel_density"]]
PixelRate = Annotated[float, KINDS["pixel_rate"]]
Lux = Annotated[float, KINDS["lux"]]
AmpHours = Annotated[float, KINDS["amp_hours"]]
Angle = Annotated[float, KINDS["angle"]]
Joules = Annotated[float, KINDS["joules"]]
Baud = Annotated[float, KINDS["baud"]]
Workload = Annotated[float, KINDS["disk_workload"]]


def parse_quantity(kind: str, text: object) -> float:
    """`text` in the base unit of `KINDS[kind]`. Raises QuantityError, KeyError for no such kind."""
    return KINDS[kind].read(text)


# Printing. Per base unit: (scale, printed unit, decimals at most), largest first: the first whose scale is
# not above the value is used, the last otherwise.

_PRINTED: Mapping[str, tuple[tuple[float, str, int], ...]] = {
    "m": ((1, "m", 1), (0.001, "mm", 1)),
    "mm2": ((1, "mm2", 2),),
    "mm": ((1, "mm", 2),),
    "V": ((1, "V", 2),),
    "A": ((1, "A", 2), (0.001, "mA", 0)),
    "W": ((1, "W", 1),),
    "VA": ((1, "VA", 1),),
    "ohm": ((1, "ohm", 2),),
    "ohm/m": ((0.001, "ohm/km", 2),),
    "B": ((1e12, "TB", 2), (1e9, "GB", 1), (1e6, "MB", 1), (1e3, "kB", 1), (1, "B", 0)),
    "bit": ((1e12, "Tbit", 2), (1e9, "Gbit", 1), (1e6, "Mbit", 1), (1e3, "kbit", 1), (1, "bit", 0)),
    "bit/s": ((1e9, "Gb/s", 2), (1e6, "Mb/s", 2), (1e3, "kb/s", 1), (1, "bit/s", 0)),
    "d": ((1, "days", 1),),
    "h": ((1, "h", 1), (1 / 60, "min", 0)),
    "s": ((1, "s", 1), (0.001, "ms", 1)),
    "fps": ((1, "fps", 2),),
    "degC": ((1, "°C", 1),),
    "dB": ((1, "dB", 1),),
    "dB/m": ((0.01, "dB/100m", 2),),
    "MHz": ((1, "MHz", 2), (0.001, "kHz", 1)),
    "Hz": ((1e9, "GHz", 2), (1e6, "MHz", 2), (1e3, "kHz", 1), (1, "Hz", 0)),
    "%": ((0.01, "%", 1),),
    "px": ((1, "px", 0),),
    "px/m": ((1, "px/m", 1),),
    "px/s": ((1e6, "Mpx/s", 1), (1, "px/s", 0)),
    "lx": ((1, "lux", 2),),
    "lux": ((1, "lux", 2),),
    "Ah": ((1, "Ah", 1),),
    "deg": ((1, "deg", 1),),
    "J": ((1, "J", 2),),
    "B/year": ((1e12, "TB/year", 1),),
    "1": ((1, "", 3),),
}


def format_quantity(value: float, unit: str, like: str | None = None) -> str:
    """A value in base units as the trade prints it: `85 m`, `10.04 V`, `4 TB`; `%` prints a share.

    `like` is a spelling such as `280 ft`, whose unit is then used. Any other unit prints as it is named.
    """
    scale, offset, name, decimals = _printed_unit(value, unit, like)
    digits = _digits((value - offset) / scale, decimals)
    return f"{digits} {'day' if (digits, name) == ('1', 'days') else name}".rstrip()


def format_pair(actual: float, limit: float, unit: str) -> tuple[str, str]:
    """Both values in one unit, with so many digits that two different numbers do not print equal."""
    chooser = max((abs(actual), abs(limit)), key=lambda value: value if math.isfinite(value) else -1.0)
    scale, offset, name, decimals = _printed_unit(chooser, unit, None)
    pair = ((actual - offset) / scale, (limit - offset) / scale)
    for more in range(18):
        texts = [_digits(value, decimals + more) for value in pair]
        if texts[0] != texts[1] or actual == limit:
            return f"{texts[0]} {name}".rstrip(), f"{texts[1]} {name}".rstrip()
    return f"{actual!r} {unit}".rstrip(), f"{limit!r} {unit}".rstrip()


def _printed_unit(value: float, unit: str, like: str | None) -> tuple[float, float, str, int]:
    """Scale, offset, name and decimals of the unit to print in."""
    match = _LOOSE_UNIT.fullmatch(like.strip()) if like else None
    spelling = match[1] if match else ""
    for kind in KINDS.values():
        if kind.base == unit and spelling in kind.units:
            chosen = kind.units[spelling]
            return float(chosen.scale), float(chosen.offset), spelling, 2
    rows = _PRINTED.get(unit or "1", ((1, unit, 3),))
    scale, name, decimals = next((row for row in rows if abs(value) >= row[0] * (1 - 1e-12)), rows[-1])
    if value == 0:
        scale, name, decimals = rows[0]
    return scale, 0.0, name, decimals


def _digits(value: float, decimals: int) -> str:
    """Plain decimal digits: at most `decimals` places, but three significant figures of what is below 1."""
    if not math.isfinite(value):
        return "not a number" if math.isnan(value) else ("unlimited" if value > 0 else "-unlimited")
    if abs(value) >= 1e15:
        return f"{value:.{6 + decimals}g}"
    if 0 < abs(value) < 1:
        decimals = max(decimals, min(15, 2 - math.floor(math.log10(abs(value)))))
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text
