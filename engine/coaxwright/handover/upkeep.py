"""Sheets that outlive the job: the survey of old cables, and what is to be looked after."""

from __future__ import annotations

from coaxwright.handover.numbering import Cable
from coaxwright.handover.plan import Plan
from coaxwright.handover.sheets import Head, Sheet, Value
from coaxwright.reading.tables import load_table
from coaxwright.show.figures import plain

SURVEY = "Survey"
_MORE_ROWS = 6
_KINDS = "□ RG-59 □ RG-6 □ pair □ unknown"
_STATES = "□ dry □ wet □ damaged"
SURVEY_CAUTION = (
    "An old cable can carry a voltage from another building or from the mains. Measure AC volts between its screen and earth "
    "before you touch it; above 50 V stop, and call a licensed electrician."
)


def survey_sheet(plan: Plan) -> Sheet:
    """A row for each cable that may be there already, and some to spare."""
    heads = (
        Head("no.", whole=True), Head("from"), Head("to"), Head("length, m", "box"),
        Head("kind, as printed on the sheath", "box"), Head("loop, ohm, far end joined", "box"),
        Head("loss, dB", "box"), Head("at, MHz", "number", 3, loose=True), Head("degC", "box", kept=True),
        Head("Mohm, ends apart", "box"), Head("joints", "box"),
        Head("AC volts to earth", "box"), Head("state", "box"), Head("remark", "box"), Head("code", kept=True),
    )  # fmt: skip
    cables = [each for each in plan.cables if not each.jacket]
    rows: list[tuple[Value, ...]] = [
        (each.number, each.near, each.far, *[None] * 4, _frequency(plan, each), *[None] * 6, each.pointer) for each in cables
    ]
    rows += [(f"X-{place:02}", "", "", *[None] * 11, "") for place in range(1, _MORE_ROWS + 1)]
    says = (
        "One row, one old cable. Leave empty what you did not measure: an empty box stays an open question, it is never "
        "guessed. Unplug both ends first.",
        f"Kind: {_KINDS}. State: {_STATES}. Length: by the metre marks on the sheath, a cable tester, paced, or told: say "
        "which under remark. Loss: from end to end, at the frequency beside it or at yours, written there. Ends "
        "apart should be above 1 Mohm when dry (common practice).",
    )
    return Sheet(SURVEY, heads, tuple(rows), says, cautions=(SURVEY_CAUTION,), sign=("surveyed by", "meter, its number", "date"))


def _frequency(plan: Plan, cable: Cable) -> float | None:
    """MHz at which the loss of a coax counts: the top frequency of the picture that it is to carry."""
    known = plan.known(cable.subject, "link", "top_frequency") if cable.use == "video" else None
    return None if known is None else float(known)


def upkeep_sheet(plan: Plan) -> Sheet:
    """What is to be looked after on this site, how often."""
    heads = (Head("what"), Head("every, months", "number", 0), Head("how, and what to write down"), Head("who"),
             Head("last done", "box"))  # fmt: skip
    places = _places(plan)
    rows = tuple(
        (row["what"], row["months"], row["how"], row["who"], None)
        for row in load_table("maintenance").rows
        if row["where"] in places
    )
    notes = tuple(_notes(plan))
    says = ("Common practice: the makers' instructions and local codes come first.",)
    cautions = ("Electrician means a licensed one. Work at height needs proper access equipment and training.",)
    return Sheet("Maintenance", heads, rows, says, notes, cautions)


def _places(plan: Plan) -> set[str]:
    """Which rows of the table this site needs."""
    site, part = plan.loaded.site, plan.loaded.catalogue.part
    cameras = [part(each.part) for each in site.cameras.values()]
    boxes = {part(each.part).does for each in site.boxes.values()}
    asked = {
        "always": True,
        "outdoor": any(plan.known(f"cameras/{name}", "camera", "setting") in ("outdoor", "sheltered") for name in site.cameras),
        "battery": any(plan.known(f"supplies/{name}", "supply", "has_battery") for name in site.supplies),
        "disks": any(each.disks for each in site.recorders.values()),
        "arrester": "arrester" in boxes,
        "isolator": "isolator" in boxes,
        "movement": any(getattr(each, "moves", None) for each in cameras),
        "lamps": any(plan.known(f"cameras/{name}", "view", "lamp_range") for name in site.cameras)
        or any(getattr(each, "lamp_range", None) for each in cameras),
        "serial": any(each.control is not None and each.control.by is None for each in site.cameras.values()),
        "sound": any(each.sound is not None for each in site.cameras.values()),
        "network": bool(site.switches) or any(each.network is not None for each in site.cameras.values()),
        "buildings": any(plan.known(f"cameras/{name}", "link", "other_earth") for name in site.cameras),
    }
    return {place for place, needed in asked.items() if needed}


def _notes(plan: Plan) -> list[str]:
    """What this site in particular has."""
    found = []
    for name in plan.loaded.site.recorders:
        days, wanted = (plan.known(f"recorders/{name}/disks", "disk_group", field) for field in ("days", "days_wanted"))
        if days is not None:
            asked = f", {plain(wanted, 0)} are wanted" if wanted is not None else ""
            found.append(f"{name} is to hold {int(days)} days{asked}.")
    for name in plan.loaded.site.supplies:
        hours = plan.known(f"supplies/{name}", "battery", "hours")
        if hours is not None:
            found.append(f"{name} is to run {plain(hours, 1)} h without mains while its battery is new.")
    return found
