"""The sheet of a supply as far as its part and its entry state it: nothing that has to be solved."""

from __future__ import annotations

from coaxwright.facts.sheets import Supply
from coaxwright.model.site import Supply as SupplyModel
from coaxwright.model.wiring_parts import SupplyPart
from coaxwright.reading.table_rows import Table
from coaxwright.reading.tables import load_table

_STATED = {
    "trim_min": "trim_min",
    "trim_max": "trim_max",
    "amps_max": "amps",
    "outputs": "outputs",
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
    sheet.trimmed = model.trim is not None
    sheet.volts = part.volts if model.trim is None else model.trim
    for field, stated in _STATED.items():
        value = getattr(part, stated)
        if value is None:
            sheet.lacks(field, f"parts/{model.part}/{stated}")
        else:
            setattr(sheet, field, value)
    if part.amps is None:
        sheet.lacks("watts_max", f"parts/{model.part}/amps")
    else:
        sheet.watts_max = part.volts * part.amps
    for each in ("setting", "building"):
        value = getattr(model.place, each, None)
        if value is None:
            sheet.lacks(each, f"supplies/{name}/place/{each}")
        else:
            setattr(sheet, each, value)
    _bind_backup(sheet, model, part)
    return sheet


def _bind_backup(sheet: Supply, model: SupplyModel, part: SupplyPart) -> None:
    """Whether there is a battery, and how long it is wanted to last."""
    stated = model.battery is not None or part.battery is not None
    sheet.has_battery = stated or part.battery_backed is True
    if model.autonomy is None:
        sheet.lacks("autonomy_wanted", f"{sheet.subject}/autonomy")
    else:
        sheet.autonomy_wanted = model.autonomy


def bind_wiring_code(sheet: Supply, code: str | None) -> None:
    """The limits of a Class 2 output of its voltage under the code of the site, where that has them.

    Tables `class2-limits` and `class2-limits-ac`: amps as stated, else volt-amperes over the volts as trimmed, and nothing
    above the last row.
    """
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


def class2_table(sheet: Supply) -> Table:
    """The limits of Class 2 sources of the supply's kind of current."""
    return load_table("class2-limits" if sheet.gives == "dc" else "class2-limits-ac")
