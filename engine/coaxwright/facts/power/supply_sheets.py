"""The sheet of a supply as far as its part and its entry state it: nothing that has to be solved."""

from __future__ import annotations

from coaxwright.facts.physics.battery import float_volts
from coaxwright.facts.sheets import Supply
from coaxwright.model.site import PLAIN_MAINS
from coaxwright.model.site import Supply as SupplyModel
from coaxwright.model.wiring_parts import SupplyPart
from coaxwright.reading.table_rows import Table
from coaxwright.reading.tables import load_assumptions, load_table

_STATED = {
    "trim_min": "trim_min",
    "trim_max": "trim_max",
    "amps_max": "amps",
    "outputs": "outputs",
    "regulation": "regulation",
    "amps_start_max": "inrush_amps",
    "plug": "plug",
    "polarity": "polarity",
    "class2": "class2",
}
"""Fields of a supply's sheet, and the field of its part that states each."""


def make_supply(name: str, model: SupplyModel, part: SupplyPart) -> Supply:
    """The sheet of a supply with all that its part and its entry state."""
    sheet = Supply()
    sheet.subject, sheet.pointer = f"supplies/{name}", ("supplies", name)
    sheet.name, sheet.part = name, model.part
    sheet.gives, sheet.volts_nominal = part.gives, part.volts
    sheet.trimmed = model.set_to is not None
    sheet.volts, most = on_mains(model, part)
    if keeps_battery(model, part):
        sheet.volts_float = most
        least = battery_float(part)
        if least > part.volts or part.float_volts is None:
            sheet.float_least = least
    for field, stated in _STATED.items():
        value = getattr(part, stated)
        if value is None:
            sheet.lacks(field, f"parts/{model.part}/{stated}")
        else:
            setattr(sheet, field, value)
    for each in ("setting", "building"):
        value = getattr(model.place, each, None)
        if value is None:
            sheet.lacks(each, f"supplies/{name}/place/{each}")
        else:
            setattr(sheet, each, value)
    _bind_backup(sheet, model, part)
    return sheet


def battery_float(part: SupplyPart) -> float:
    """Least volts that keep its battery charged: stated, else what floats a lead-acid battery."""
    if part.float_volts is not None:
        return part.float_volts
    return float_volts(part.volts, load_assumptions()["battery-float-least"].value)


def keeps_battery(model: SupplyModel, part: SupplyPart) -> bool:
    """It gives direct current and has a battery, which it keeps charged while there is mains."""
    return part.gives == "dc" and _has_battery(model, part)


def on_mains(model: SupplyModel, part: SupplyPart) -> tuple[float, float]:
    """Least and greatest volts that it gives on mains, at full load: the greatest is that of a boost charge where it
    has a battery and its part states one above its float.
    """
    least, most = _floating(model, part)
    if part.boost_volts is None or not keeps_battery(model, part):
        return least, most
    return least, max(most, part.boost_volts)


def _floating(model: SupplyModel, part: SupplyPart) -> tuple[float, float]:
    """Least and greatest volts but for a boost: the trim written, else the float voltage that its part states, else
    what floats a lead-acid battery where there is one (both ends of the assumed range), else nominal.
    """
    if model.set_to is not None:
        return model.set_to, model.set_to
    if not keeps_battery(model, part):
        return part.volts, part.volts
    if part.float_volts is not None:
        return part.float_volts, part.float_volts
    named = load_assumptions()
    least, most = (float_volts(part.volts, named[name].value) for name in FLOAT_RANGE)
    return least, most


FLOAT_RANGE = ("battery-float-least", "battery-float-greatest")
"""Assumptions about the volts of a cell that is kept charged."""


def volts_assumed(model: SupplyModel, part: SupplyPart) -> tuple[str, ...]:
    """Names of the assumptions that `on_mains` rests on."""
    if model.set_to is not None:
        return ()
    if not keeps_battery(model, part):
        return ("supply-trim",)
    return FLOAT_RANGE if part.float_volts is None else ()


def _has_battery(model: SupplyModel, part: SupplyPart) -> bool:
    return model.battery is not None or part.battery is not None or part.battery_backed is True


def _bind_backup(sheet: Supply, model: SupplyModel, part: SupplyPart) -> None:
    """Whether there is a battery, and how long it is wanted to last."""
    sheet.has_battery = _has_battery(model, part)
    sheet.on_ups = model.mains is not None and model.mains != PLAIN_MAINS
    if model.autonomy is None:
        sheet.lacks("autonomy_wanted", f"{sheet.subject}/autonomy")
    else:
        sheet.autonomy_wanted = model.autonomy


def bind_wiring_code(sheet: Supply, code: str | None) -> None:
    """The limits of a Class 2 output of its voltage under the code of the site, where that has them.

    Tables `class2-limits` and `class2-limits-ac`: amps as stated, else volt-amperes over the volts as trimmed, and nothing
    above the last row.
    """
    _bind_wet(sheet, code)
    if code is None:
        for field in ("wiring_code", "class2_amps", "class2_article"):
            sheet.lacks(field, "wiring_code")
        return
    sheet.wiring_code = code
    volts = sheet.volts
    for row in class2_table(sheet).rows:
        if row["edition"] == code and row["volts_above"] < volts:
            within = volts <= row["volts_up_to"]
            limit = row["volt_amperes"] / volts if row["amps"] is None else row["amps"]
            sheet.class2_amps, sheet.class2_article = limit if within else 0.0, row["article"]


def _bind_wet(sheet: Supply, code: str | None) -> None:
    """What people may touch in wet places, by the code; where none is named, what all of the table have in common."""
    same = (row for row in load_table("wet-contact-limits").rows if row["gives"] == sheet.gives)
    rows = [row for row in same if code in (None, row["edition"])]
    if len({row["volts"] for row in rows}) == 1:
        sheet.wet_volts = rows[0]["volts"]
        sheet.wet_article = rows[0]["article"] if code else "; ".join(dict.fromkeys(row["article"] for row in rows))
    else:
        for field in ("wet_volts", "wet_article"):
            sheet.lacks(field, "wiring_code")


def class2_table(sheet: Supply) -> Table:
    """The limits of Class 2 sources of the supply's kind of current."""
    return load_table("class2-limits" if sheet.gives == "dc" else "class2-limits-ac")
