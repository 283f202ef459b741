"""Sheets for the rack: which cable goes into which input, which output feeds what, and what answers at which address."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.handover.plan import Plan
from coaxwright.handover.sheets import Head, Sheet, Value
from coaxwright.model.site import ControlPath
from coaxwright.show import figures

FREE = "free"


def patch_list(plan: Plan) -> Sheet:
    """Every input of every recorder, those that are free too."""
    heads = (
        Head("input"), Head("cable"), Head("camera"), Head("name on screen"), Head("picture"), Head("recorded"),
        Head("power"), Head("output"), Head("done", "box"),
    )  # fmt: skip
    rows = tuple(row for name in plan.loaded.site.recorders for row in _inputs(plan, name))
    shared = dict.fromkeys(str(row[0]) for row in rows if " on one)" in str(row[1]))
    notes = (f"More than one camera on one input: {', '.join(shared)}. Mend the plan first.",) if shared else ()
    says = ("Plug in the order of the inputs. A name on the screen is that of the site file.",)
    return Sheet("Patch list", heads, rows, says, notes, empty="No recorder is drawn.")


def _inputs(plan: Plan, name: str) -> Iterator[tuple[Value, ...]]:
    lists = plan.facts.context.topology.lists
    used = [number for device, number in lists.inputs if device == name]
    for number in range(1, max([plan.known(f"recorders/{name}", "recorder", "channels") or 0, *used]) + 1):
        paths = lists.inputs.get((name, number), [])
        if not paths:
            yield (f"{name}/{number}", FREE, *[""] * 6, None)
        for path in paths:
            yield _input(plan, f"{name}/{number}", path.owner, len(paths))
    for path in lists.network_into.get(name, []):
        yield _input(plan, f"{name}, network", path.owner, 1)


def _input(plan: Plan, port: str, camera: str, sharing: int) -> tuple[Value, ...]:
    subject = f"cameras/{camera}"
    entry = plan.loaded.site.cameras[camera]
    use = "network" if entry.network is not None and entry.video is None else "video"
    numbers = ", ".join(plan.numbers_of(subject, use))
    source = entry.power.source if entry.power is not None else ""
    fps = plan.known(subject, "camera", "recorded_fps")
    return (
        port, numbers + (f" ({sharing} on one)" if sharing > 1 else ""), camera, entry.label or camera, _picture(plan, subject),
        figures.fps(fps), ", ".join(plan.numbers_of(subject, "power")), source, None,
    )  # fmt: skip


def _picture(plan: Plan, subject: str) -> str:
    sheet = plan.facts.sheet(subject, "link")
    if sheet is None:
        return figures.frame(*(plan.known(subject, "camera", each) for each in ("recorded_width", "recorded_height")))
    size = figures.frame(sheet.known("width"), sheet.known("height"))
    family = str(sheet.known("family") or "").upper()
    return f"{family} {size}".strip()


def output_list(plan: Plan) -> Sheet:
    """Every output of every supply, those that are free too."""
    heads = (
        Head("output"), Head("cable"), Head("feeds"), Head("at night, A", "number", 2), Head("limit, A", "number", 2),
        Head("protection"), Head("done", "box"),
    )  # fmt: skip
    rows = tuple(row for name in plan.loaded.site.supplies for row in _outputs(plan, name))
    return Sheet("Supply outputs", heads, rows, empty="No supply is drawn.")


def _outputs(plan: Plan, name: str) -> Iterator[tuple[Value, ...]]:
    part = plan.loaded.catalogue.part(plan.loaded.site.supplies[name].part)
    lists = plan.facts.context.topology.lists
    used = [number for device, number in lists.outputs if device == name]
    for number in range(1, max([part.outputs or 1, *used]) + 1):
        paths = lists.outputs.get((name, number), [])
        numbers = [each for path in paths for each in plan.numbers_of(path.subject, "power")[:1]]
        sheet = plan.facts.sheet(f"supplies/{name}/{number}", "output")
        night, limit, protection = (
            None if sheet is None else sheet.known(field) for field in ("amps_night", "amps_max", "protection")
        )
        feeds = ", ".join(path.owner for path in paths)
        yield (f"{name}/{number}", ", ".join(numbers) or FREE, feeds, night, limit, protection or "", None)


def address_list(plan: Plan) -> Sheet:
    """Addresses as the plan has them, with boxes for those that it leaves open."""
    heads = (
        Head("device"), Head("part"), Head("network address"), Head("control"), Head("set to", "box"),
        Head("firmware", "box"), Head("done", "box"),
    )  # fmt: skip
    rows = tuple(_addresses(plan))
    notes = ("Never write a password on this sheet.",)
    return Sheet("Device addresses", heads, rows, notes=notes, empty="Nothing has an address.")


def _addresses(plan: Plan) -> Iterator[tuple[Value, ...]]:
    site = plan.loaded.site
    for name, recorder in site.recorders.items():
        yield (name, recorder.part, recorder.network_address or "", "", None, None, None)
    for name, switch in site.switches.items():
        yield (name, switch.part, switch.network_address or "", "", None, None, None)
    for name, camera in site.cameras.items():
        control = camera.control
        serial = control if control is not None and control.by is None else None
        if serial or camera.network is not None or camera.network_address:
            yield (name, camera.part, camera.network_address or "", _control(serial) if serial else "", None, None, None)


def _control(control: ControlPath) -> str:
    """Address, speed, protocol and termination of a serial line."""
    said = [f"address {control.address}" if control.address is not None else "address not stated"]
    said += [f"{figures.plain(control.speed, 0)} Bd"] if control.speed is not None else []
    said += [str(control.protocol)] if control.protocol else []
    said += ["terminated"] if control.terminated else []
    return f"{control.into}: {', '.join(said)}"
