"""Quantities against published factors and tables, an independent units library, and themselves."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from coaxwright.model import quantities
from coaxwright.model.quantities import (
    KINDS,
    Length,
    QuantityError,
    format_pair,
    format_quantity,
    parse_quantity,
)

# (kind, written, base value, source)
WRITTEN = [
    ("length", "85 m", 85.0, "SI"),
    ("length", "280 ft", 85.344, "1 ft = 0.3048 m exactly: international yard and pound agreement, 1959"),
    ("length", "5 ft 6 in", 1.6764, "1 ft = 0.3048 m, 1 in = 0.0254 m exactly: agreement of 1959"),
    ("length", "100 yd", 91.44, "1 yd = 0.9144 m exactly: agreement of 1959"),
    ("length", "1.2 km", 1200.0, "SI"),
    ("length", "85\u00a0m", 85.0, "SI brochure 5.4.3: a space, which may be non-breaking, before the unit"),
    ("length", "85m", 85.0, "common practice"),
    ("millimetres", "0.5 in", 12.7, "1 in = 25.4 mm exactly: agreement of 1959"),
    ("millimetres", "8 um", 0.008, "SI"),
    ("conductor_size", "0.75 mm²", 0.75, "SI"),
    ("conductor_size", "1.5 sqmm", 1.5, "common practice"),
    ("volts", "24 VAC", 24.0, "common practice"),
    ("volts", "12 V DC", 12.0, "common practice"),
    ("amps", "350 mA", 0.35, "SI"),
    ("watts", "1.2 kW", 1200.0, "SI"),
    ("ohms_per_metre", "7.41 ohm/km", 0.00741, "SI"),
    ("ohms_per_metre", "1 ohm/1000ft", 1 / 304.8, "1000 ft = 304.8 m"),
    ("bytes", "4 TB", 4e12, "SI prefixes: SI brochure table 7"),
    ("bytes", "4 TiB", 4398046511104.0, "IEC 80000-13 clause 4: tebi = 2^40"),
    ("bytes", "1 KiB", 1024.0, "IEC 80000-13 clause 4: kibi = 2^10"),
    ("bit_rate", "4 Mb/s", 4e6, "SI"),
    ("bit_rate", "512 kbit/s", 512e3, "SI"),
    ("bit_rate", "2048 Kbps", 2048e3, "common practice: 1000 bit/s in line rates"),
    ("days", "3 weeks", 21.0, "common practice"),
    ("days", "36 h", 1.5, "1 d = 24 h: SI brochure table 8"),
    ("hours", "90 min", 1.5, "SI brochure table 8"),
    ("seconds", "200 ms", 0.2, "SI"),
    ("frame_rate", "12.5 fps", 12.5, "common practice"),
    ("celsius", "104 °F", 40.0, "t/°C = (t/°F - 32) * 5/9: NIST SP 811 B.8"),
    ("celsius", "-40 °F", -40.0, "NIST SP 811 B.8: the scales meet at -40"),
    ("celsius", "\u221210 °C", -10.0, "a typographic minus is a minus"),
    ("decibels_per_metre", "10 dB/100ft", 10 / 30.48, "100 ft = 30.48 m"),
    ("decibels_per_metre", "9.5 dB/100m", 0.095, "SI"),
    ("megahertz", "500 kHz", 0.5, "SI"),
    ("fraction", "10 %", 0.1, "common practice"),
    ("pixel_density", "76.2 px/ft", 250.0, "1 ft = 0.3048 m"),
    ("pixel_rate", "148.5 Mpx/s", 148.5e6, "SI"),
    ("amp_hours", "2500 mAh", 2.5, "SI"),
    ("angle", "30°", 30.0, "SI brochure table 8"),
    ("joules", "500 mJ", 0.5, "SI"),
    ("baud", "9600 baud", 9600.0, "IEC 60050-704 (704-17-01)"),
    ("disk_workload", "180 TB/year", 180e12, "SI"),
]


@pytest.mark.parametrize(("kind", "written", "value", "source"), WRITTEN)
def test_written_reads_to_base_units(kind: str, written: str, value: float, source: str) -> None:
    assert parse_quantity(kind, written) == pytest.approx(value, rel=1e-15, abs=0), source


def test_every_kind_is_read_in_some_row() -> None:
    assert {row[0] for row in WRITTEN} | {"volt_amps", "ohms", "lux", "decibels"} == set(KINDS)


# ASTM B258 table 1 (diameters of solid round wires, mil); area in mm2 is pi/4 (0.0254 mm * mil)^2.
ASTM_MILS = {
    "4/0": 460.0,
    "2/0": 364.8,
    "0": 324.9,
    "6": 162.0,
    "10": 101.9,
    "12": 80.8,
    "14": 64.1,
    "16": 50.8,
    "18": 40.3,
    "20": 32.0,
    "22": 25.3,
    "24": 20.1,
    "26": 15.9,
    "28": 12.6,
    "30": 10.0,
    "36": 5.0,
}


@pytest.mark.parametrize(("gauge", "mils"), ASTM_MILS.items())
def test_gauge_matches_the_published_diameters(gauge: str, mils: float) -> None:
    rounding = 2 * 0.05 / mils  # the table rounds to 0.1 mil; area goes with the square
    assert parse_quantity("conductor_size", f"{gauge} AWG") == pytest.approx(
        math.pi / 4 * (mils * 0.0254) ** 2, rel=rounding + 1e-9
    )


def test_gauge_and_area_are_never_equal() -> None:
    assert parse_quantity("conductor_size", "18 AWG") != parse_quantity("conductor_size", "0.82 mm2")
    assert parse_quantity("conductor_size", "AWG 18") == parse_quantity("conductor_size", "18AWG")


# The spellings under which the independent library knows our units; what is absent is checked above.
PINT_UNITS = {
    "m": "meter",
    "metres": "meter",
    "metre": "meter",
    "meters": "meter",
    "meter": "meter",
    "km": "kilometer",
    "cm": "centimeter",
    "mm": "millimeter",
    "ft": "foot",
    "feet": "foot",
    "foot": "foot",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    "yd": "yard",
    "mm2": "mm**2",
    "mm²": "mm**2",
    "sqmm": "mm**2",
    "sq mm": "mm**2",
    "mm^2": "mm**2",
    "um": "micrometer",
    "µm": "micrometer",
    "μm": "micrometer",
    "V": "volt",
    "mV": "millivolt",
    "kV": "kilovolt",
    "A": "ampere",
    "mA": "milliampere",
    "kA": "kiloampere",
    "uA": "microampere",
    "W": "watt",
    "mW": "milliwatt",
    "kW": "kilowatt",
    "VA": "volt*ampere",
    "kVA": "kilovolt*ampere",
    "ohm": "ohm",
    "Ω": "ohm",
    "kohm": "kiloohm",
    "mohm": "milliohm",
    "ohm/km": "ohm/kilometer",
    "ohm/m": "ohm/meter",
    "ohm/100m": "ohm/hectometer",
    "ohm/1000ft": "ohm/kilofoot",
    "ohm/1000 ft": "ohm/kilofoot",
    "B": "byte",
    "kB": "kilobyte",
    "MB": "megabyte",
    "GB": "gigabyte",
    "TB": "terabyte",
    "PB": "petabyte",
    "KiB": "kibibyte",
    "MiB": "mebibyte",
    "GiB": "gibibyte",
    "TiB": "tebibyte",
    "b/s": "bit/second",
    "bit/s": "bit/second",
    "bps": "bit/second",
    "kb/s": "kilobit/second",
    "kbit/s": "kilobit/second",
    "kbps": "kilobit/second",
    "Mb/s": "megabit/second",
    "Mbit/s": "megabit/second",
    "Mbps": "megabit/second",
    "Gb/s": "gigabit/second",
    "Gbit/s": "gigabit/second",
    "Gbps": "gigabit/second",
    "days": "day",
    "day": "day",
    "d": "day",
    "weeks": "week",
    "week": "week",
    "h": "hour",
    "hours": "hour",
    "hour": "hour",
    "min": "minute",
    "minutes": "minute",
    "minute": "minute",
    "s": "second",
    "ms": "millisecond",
    "us": "microsecond",
    "°C": "degC",
    "degC": "degC",
    "°F": "degF",
    "degF": "degF",
    "MHz": "megahertz",
    "kHz": "kilohertz",
    "GHz": "gigahertz",
    "Hz": "hertz",
    "%": "percent",
    "percent": "percent",
    "lux": "lux",
    "klx": "kilolux",
    "lx": "lux",
    "Ah": "ampere*hour",
    "mAh": "milliampere*hour",
    "J": "joule",
    "mJ": "millijoule",
    "kJ": "kilojoule",
}
PINT_BASES = {
    "length": "meter",
    "conductor_size": "mm**2",
    "millimetres": "millimeter",
    "volts": "volt",
    "amps": "ampere",
    "watts": "watt",
    "volt_amps": "volt*ampere",
    "ohms": "ohm",
    "ohms_per_metre": "ohm/meter",
    "bytes": "byte",
    "bit_rate": "bit/second",
    "days": "day",
    "hours": "hour",
    "seconds": "second",
    "celsius": "degC",
    "megahertz": "megahertz",
    "fraction": "dimensionless",
    "lux": "lux",
    "amp_hours": "ampere*hour",
    "joules": "joule",
}


def test_units_agree_with_an_independent_library() -> None:
    pint = pytest.importorskip("pint", reason="the oracle for units is not installed")
    registry = pint.UnitRegistry()
    checked = 0
    for name, base in PINT_BASES.items():
        for spelling in KINDS[name].units.keys() & PINT_UNITS.keys():
            theirs = registry.Quantity(7.5, PINT_UNITS[spelling]).to(base).magnitude
            ours = (
                parse_quantity(name, f"7.5 {spelling}") if name != "fraction" else KINDS[name].read("7.5 %")
            )
            assert ours == pytest.approx(theirs, rel=1e-12), (name, spelling)
            checked += 1
    assert checked >= 90


# Every refusal: (kind, what was read, what is wrong, what would be right), all in full.
ONE_NUMBER = "is not one number with a unit"
REFUSED = [
    ("length", 85, "`85` has no unit and a length needs one", "write 85 m or 85 ft"),
    ("length", 0.5, "`0.5` has no unit and a length needs one", "write 0.5 m or 0.5 ft"),
    ("length", "85", "`85` has no unit and a length needs one", "write 85 m or 85 ft"),
    ("fraction", 0.5, "`0.5` has no unit and a share needs one", "write 50 %"),
    ("fraction", "10", "`10` has no unit and a share needs one", "write 10 %"),
    ("length", True, "`true` is not a length", "write 85 m or 280 ft"),
    ("length", None, "`nothing` is not a length", "write 85 m or 280 ft"),
    ("length", ["85 m"], "`a list` is not a length", "write 85 m or 280 ft"),
    ("length", {"a": 1}, "`a group of keys` is not a length", "write 85 m or 280 ft"),
    ("length", "", "a length is missing", "write 85 m or 280 ft"),
    ("length", "1,5 m", "the comma in `1,5 m` can be read in two ways", "write 1.5 m"),
    (
        "length",
        "1,000 m",
        "the comma in `1,000 m` can be read in two ways",
        "write 1000 m if thousands are meant, or a decimal point",
    ),
    ("length", "nan m", "`nan m` is not a finite number", "write 85 m or 280 ft"),
    ("length", "inf", "`inf` is not a finite number", "write 85 m or 280 ft"),
    ("length", "-Infinity m", "`-Infinity m` is not a finite number", "write 85 m or 280 ft"),
    ("length", "1e999 m", "`1e999 m` is not a finite number within range", "write 85 m or 280 ft"),
    ("length", "1e9 km", "`1e9 km` is too large for a length", "the most is 1000000 m"),
    ("length", "-5 m", "`-5 m` is too small for a length", "the least is 0 m"),
    ("frame_rate", "0 fps", "`0 fps` is too small for a frame rate", "the least is 0.01 fps"),
    ("conductor_size", "0 mm2", "`0 mm2` is too small for a conductor size", "the least is 0.001 mm2"),
    ("fraction", "120 %", "`120 %` is too large for a share", "the most is 100 %"),
    ("celsius", "-300 °C", "`-300 °C` is too small for a temperature", "the least is -273.1 °C"),
    ("bytes", "4 Mb/s", "`4 Mb/s` is a bit rate", "a capacity is written 4 TB or 512 GB"),
    ("length", "12 V", "`12 V` is a voltage", "a length is written 85 m or 280 ft"),
    ("volts", "12 W", "`12 W` is a power", "a voltage is written 12.6 V or 24 VAC"),
    ("watts", "40 VA", "`40 VA` cannot be used: volt-amperes are not watts", "write 4.5 W or 350 mW"),
    (
        "conductor_size",
        "0.8 mm",
        "`0.8 mm` cannot be used: a diameter is not an area",
        "write 0.75 mm2 or 18 AWG",
    ),
    ("conductor_size", "45 AWG", "there is no gauge `45`", "write 4/0 AWG to 40 AWG, or an area in mm2"),
    ("length", "85 metrs", "`metrs` is not a unit of a length", "did you mean 85 metres?"),
    ("volts", "12 v", "`v` is not a unit of a voltage", "did you mean 12 V?"),
    ("bytes", "4 tb", "`tb` is not a unit of a capacity", "did you mean 4 TB?"),
    ("decibels", "6 furlong", "`furlong` is not a unit of a level in decibels", "write one of: dB"),
    ("bytes", "4 KB", "`4 KB` cannot be used: it can mean 1000 or 1024 bytes", "write 4 TB or 512 GB"),
    (
        "bit_rate",
        "8 MB/s",
        "`8 MB/s` cannot be used: it counts bytes, and a bit rate is written in bits (1 byte is 8 bits)",
        "write 64 Mb/s if bytes are meant, 8 Mb/s if bits",
    ),
    (
        "days",
        "2 months",
        "`2 months` cannot be used: a month has no fixed length, so count in days",
        "write 21 days or 3 weeks",
    ),
    (
        "days",
        "1 year",
        "`1 year` cannot be used: a year has no fixed length, so count in days",
        "write 21 days or 3 weeks",
    ),
    (
        "decibels",
        "6 dBm",
        "`6 dBm` cannot be used: it is a level against a reference, not a ratio",
        "write 6 dB or -3 dB",
    ),
    (
        "length",
        "9" * 10_000 + " m",
        "`999999999999999999999999…` is 10002 characters long",
        "write 85 m or 280 ft",
    ),
    ("length", "9" * 50 + " m", "`99999999999999999999999999999999…` has 50 digits", "write at most 20"),
    ("length", "\u0663 m", "`\u0663 m` has digits other than 0 to 9", "write 85 m or 280 ft"),
    ("length", "\uff18 m", "`\uff18 m` has digits other than 0 to 9", "write 85 m or 280 ft"),
    ("length", "5'6\"", "`5'6\"` uses quote marks for feet or inches", "write 5 ft 6 in"),
    ("length", "5 ft 13 in", "`5 ft 13 in` has 12 inches or more", "write them as feet"),
    ("length", "010 m", "`010 m` starts with a needless 0", "write 10 m"),
    ("length", "1-2 m", f"`1-2 m` {ONE_NUMBER}", "a length is written 85 m or 280 ft"),
    ("length", "1/2 in", f"`1/2 in` {ONE_NUMBER}", "a length is written 85 m or 280 ft"),
    ("length", "9**9**9 m", f"`9**9**9 m` {ONE_NUMBER}", "a length is written 85 m or 280 ft"),
    ("length", "m", f"`m` {ONE_NUMBER}", "a length is written 85 m or 280 ft"),
    ("length", "5. m", f"`5. m` {ONE_NUMBER}", "a length is written 85 m or 280 ft"),
    ("length", "\x1b[31m", f"`\\x1b[31m` {ONE_NUMBER}", "a length is written 85 m or 280 ft"),
]


@pytest.mark.parametrize(
    ("kind", "read", "what", "right"), REFUSED, ids=[str(row[1])[:20] for row in REFUSED]
)
def test_refusals_say_what_is_wrong_and_what_is_right(kind: str, read: object, what: str, right: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(kind, read)
    assert (caught.value.what, caught.value.right) == (what, right)


def test_every_advice_and_every_example_holds() -> None:
    for kind in KINDS.values():
        for example in kind.examples:
            assert kind.least <= kind.read(example) <= kind.greatest
        assert not kind.advice.keys() & kind.units.keys()
        for spelling in kind.advice:
            with pytest.raises(QuantityError, match="cannot be used"):
                kind.read(f"5 {spelling}")


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_schema_pattern_takes_every_spelling_and_no_bare_number(kind: quantities.Kind) -> None:
    pattern = re.compile(kind.schema()["pattern"])
    for unit in kind.units:
        assert pattern.search(f"12.5 {unit}"), unit
        assert kind.read(f"{kind.greatest if kind.greatest < 12.5 else 1} {unit}") is not None
    assert all(pattern.search(example) for example in kind.examples)
    assert not pattern.search("12.5")
    assert not pattern.search("1,5 " + next(iter(kind.units)))


PIECES = [*"0123456789.,-+eE \u00a0/'n", "m", "ft", "in", "AWG", "mm2", "1/0"]


@given(
    st.lists(st.sampled_from(PIECES), max_size=8).map("".join), st.sampled_from(["length", "conductor_size"])
)
def test_pattern_and_parser_accept_the_same_shapes(text: str, name: str) -> None:
    error = refusal_of(name, text)
    beyond = ("too large", "too small", "no gauge", "12 inches", "digits", "within range")
    if error is None or not any(word in error.what for word in beyond):
        assert (error is None) == bool(re.search(KINDS[name].pattern(), text))


@given(st.text(max_size=40), st.sampled_from(list(KINDS)))
def test_any_text_is_read_or_refused_in_words(text: str, name: str) -> None:
    error = refusal_of(name, text)
    if error is not None:
        assert error.what
        assert error.right
        assert str(error).isprintable()


def refusal_of(kind: str, text: str) -> QuantityError | None:
    """How a text is refused, or None if it is read, and then to a finite number."""
    try:
        assert math.isfinite(parse_quantity(kind, text))
    except QuantityError as error:
        return error
    return None


def test_refusing_long_text_is_quick(guarded: Callable[[float], Any]) -> None:
    texts = ("9" * 10**6, "1" + " " * 10**6, "1." * 10**5, "1e" * 32, " " * 63 + "x", "1" * 20 + "e" * 40)
    with guarded(500):
        for text in texts:
            with pytest.raises(QuantityError):
                parse_quantity("length", text)


def test_memory_of_known_spellings_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(quantities, "_MAX_CACHED", 100)
    kind = KINDS["joules"]
    values = [kind.read(f"{number} J") for number in range(1, 500)]
    assert values == [float(number) for number in range(1, 500)]
    assert len(kind._known) <= 100


def test_as_a_model_field() -> None:
    adapter: TypeAdapter[float | None] = TypeAdapter(Length | None)
    assert adapter.validate_python(None) is None
    adapter = TypeAdapter(Length)
    assert adapter.validate_python("280 ft") == pytest.approx(85.344)
    with pytest.raises(ValidationError) as caught:
        adapter.validate_python(85)
    assert isinstance(caught.value.errors()[0]["ctx"]["error"], QuantityError)
    assert adapter.json_schema() == KINDS["length"].schema()


PRINTED = [
    (85.0, "m", "85 m"),
    (85.344, "m", "85.3 m"),
    (0.05, "m", "50 mm"),
    (0.75, "mm2", "0.75 mm2"),
    (0.32589, "mm2", "0.326 mm2"),
    (10.04, "V", "10.04 V"),
    (10.0, "V", "10 V"),
    (1.2, "A", "1.2 A"),
    (0.35, "A", "350 mA"),
    (21.0, "d", "21 days"),
    (1.0, "d", "1 day"),
    (4e12, "B", "4 TB"),
    (5.12e11, "B", "512 GB"),
    (12.0, "fps", "12 fps"),
    (12.5, "fps", "12.5 fps"),
    (4e6, "bit/s", "4 Mb/s"),
    (0.1, "%", "10 %"),
    (0.095, "dB/m", "9.5 dB/100m"),
    (0.0245, "ohm/m", "24.5 ohm/km"),
    (-10.0, "degC", "-10 °C"),
    (250.0, "px/m", "250 px/m"),
    (1.85e-3, "s", "1.9 ms"),
    (3.0, "", "3"),
    (2 / 3, "1", "0.667"),
    (0.0, "A", "0 A"),
    (-0.001, "m", "-1 mm"),
    (7.0, "widgets", "7 widgets"),
    (math.inf, "m", "unlimited m"),
    (1e300, "V", "1e+300 V"),
]


@pytest.mark.parametrize(("value", "unit", "text"), PRINTED)
def test_printed_as_the_trade_prints(value: float, unit: str, text: str) -> None:
    assert format_quantity(value, unit) == text


def test_printed_like_it_was_written() -> None:
    assert format_quantity(85.344, "m", like="10 ft") == "280 ft"
    assert format_quantity(40.0, "degC", like="1 °F") == "104 °F"
    assert format_quantity(85.344, "m", like="no unit at all") == "85.3 m"


def test_pairs_show_the_difference() -> None:
    assert format_pair(10.7999, 10.8, "V") == ("10.7999 V", "10.8 V")
    assert format_pair(10.8, 10.8, "V") == ("10.8 V", "10.8 V")
    assert format_pair(0.35, 1.2, "A") == ("0.35 A", "1.2 A")


@given(
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(["V", "m", "B", "bit/s", "%", "degC", "1"]),
)
def test_neighbouring_numbers_never_print_equal(value: float, unit: str) -> None:
    neighbour = math.nextafter(value, math.inf)
    first, second = format_pair(value, neighbour, unit)
    assert first != second
    assert format_pair(value, value, unit)[0] == format_pair(value, value, unit)[1]


@given(st.sampled_from(list(KINDS)), st.sampled_from(["1", "12.75", "+3", "2e0"]), st.data())
def test_printing_and_reading_again_gives_the_value(name: str, number: str, data: st.DataObject) -> None:
    kind = KINDS[name]
    written = f"{number} {data.draw(st.sampled_from(list(kind.units)))}"
    value = min(kind.read(written), kind.greatest / 2)
    printed = format_quantity(value, "%" if name == "fraction" else kind.base)
    assert kind.read(printed) == pytest.approx(value, rel=0.06)
