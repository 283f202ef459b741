"""A first site file from a few answers: commented, with defaults so that nothing is typed twice, and checked before it is
written. What nobody answered stays out, and so open; nothing is invented but names, ports and places on supplies.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from coaxwright.checking import SiteFacts, check
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import SiteReport
from coaxwright.fixes.yaml_text import flow
from coaxwright.immutable import immutable
from coaxwright.model.quantities import quoted
from coaxwright.reading.catalogue import Catalogue, build_catalogue
from coaxwright.reading.files import Untrusted, confined_files
from coaxwright.reading.site_reader import load_site_text
from coaxwright.reading.suggest import did_you_mean
from coaxwright.schedules.values import Wrong, identifier

OWN_PARTS = "own.parts.yaml"
_SCHEMA = "site.schema.json"
_LEVELS = 6
"""Folders that a schema is looked for in, from that of the site upwards."""
_SUPPLIES = {"dc": (("generic/dc12-5a-4way", 4), ("generic/dc12-10a-9way", 9), ("generic/dc12-20a-18way", 18)),
             "ac": (("generic/ac24-4a-4way", 4), ("generic/ac24-8a-8way", 8))}  # fmt: skip
_VIDEO_CABLE = "rg59-copper"
_POWER_CABLES = ("dc-1mm2", "dc-1.5mm2", "dc-2.5mm2")
"""Usual conductors of a camera's feed, the thinnest first."""
_MOST_TRIED = 12
"""Cameras of the part files that are tried on the recorder where nobody named one."""
_DISKS = (1, 2, 3, 4, 6, 8, 10, 12, 14, 16, 18, 20)
_PLANNED = 0.9
"""Share of a disk that is planned with: the careful end of what the table of assumptions says."""


@immutable
class Answers:
    """What was answered. `cameras` are ids; lengths are in metres; parts are ids, empty where nobody named one."""

    name: str
    cameras: tuple[str, ...]
    video_rate: int = 25
    retention: int = 14
    length: float | None = None
    setting: str = "indoor"
    camera: str = ""
    recorder: str = ""
    parts: tuple[str, ...] = ()
    cable: str = ""
    power_cable: str = ""


@immutable
class NewSite:
    """Texts by file name beside the site, the site first, and what a check says of it."""

    files: dict[str, str]
    report: SiteReport


def camera_names(text: str, what: str) -> tuple[str, ...]:
    """Ids of cameras from a number or from names with commas between; `what` is asked. Raises Refusal."""
    if text.strip().isascii() and text.strip().isdecimal():
        number = whole_number(what, text)
        return tuple(f"cam{place:0{max(2, len(str(number)))}}" for place in range(1, number + 1))
    try:
        names = tuple(identifier(each.strip()) for each in text.split(",") if each.strip())
    except Wrong as wrong:
        raise Refusal([Problem(what, str(wrong), "write names as in gate,yard,office")]) from wrong
    if not names or len(set(names)) < len(names):
        raise Refusal([Problem(what, f"{quoted(text)} names no camera, or one twice", "write a number, or names")])
    return names


def whole_number(what: str, text: str) -> int:
    """A number from 1 to 4096. Raises Refusal."""
    plain = text.strip()
    if not (plain.isascii() and plain.isdecimal()) or not 1 <= int(plain[:6]) <= 4096 or len(plain) > 4:
        raise Refusal([Problem(what, f"{quoted(text)} is no number from 1 to 4096", "write one as in 14")])
    return int(plain)


def new_site(answers: Answers, file: str, root: Path) -> NewSite:
    """The site of some answers. Raises Refusal for a part that is not there or not of its kind, or a text that no site
    file may hold.
    """
    catalogue = _catalogue(answers.parts, root)
    own = {} if answers.camera and answers.recorder else _own_parts(answers)
    recorder = answers.recorder or _recorder(catalogue, len(answers.cameras)) or "own/recorder"
    cameras = (
        (answers.camera,) if answers.camera else tuple(_offered(catalogue, "camera")[:_MOST_TRIED]) or ("own/camera",)
    )
    for kind, part in (("camera", cameras[0]), ("recorder", recorder)):
        _known(catalogue, kind, part, own)
    plans = [_plan(answers, catalogue, camera, recorder, own) for camera in cameras]
    plan = _best(plans, file, root)
    if not answers.power_cable and answers.length is not None and plan.power:
        wider = [plan.with_power_cable(cable) for cable in _outdoor(_POWER_CABLES, answers, catalogue)]
        plan = _best(wider, file, root)
    return _checked(file, root, plan)


def schema_line(root: Path) -> str:
    """First line of a site in the folder `root`: names the nearest schema of sites that is there, for editors; where none
    is, says how to write one, as an editor complains about a line that leads nowhere.
    """
    above = [root.absolute(), *root.absolute().parents][:_LEVELS]
    places = (each / folder / _SCHEMA for each in above for folder in ("", "schemas"))
    found = next((each for each in places if each.is_file()), None)
    if found is None:
        return f"# Help in an editor: `coaxwright schema site -o {_SCHEMA}`, and the first line of docs/editors-and-hooks.md"
    return f"# yaml-language-server: $schema={Path(os.path.relpath(found, root.absolute())).as_posix()}"


def _plan(answers: Answers, catalogue: Catalogue, camera: str, recorder: str, own: dict[str, Any]) -> _Plan:
    used = {part: each for part, each in own.items() if part in (camera, recorder)}
    return _Plan(answers, catalogue, camera, recorder, used)


def _best(plans: Sequence[_Plan], file: str, root: Path) -> _Plan:
    """The first of those with the fewest errors, then the fewest warnings, as a check of each tells."""
    if len(plans) == 1:
        return plans[0]

    def faults(plan: _Plan) -> tuple[int, int]:
        summary = _load(plan.text((), root), file, root, _parts_text(plan.own) if plan.own else "").summary
        return summary.error, summary.warning

    return min(plans, key=faults)


def _outdoor(cables: Sequence[str], answers: Answers, catalogue: Catalogue) -> list[str]:
    """The cables with the sheath that the setting asks for."""
    sheath = "-outdoor" if answers.setting == "outdoor" else ""
    return [each + sheath if catalogue.has(each + sheath) else each for each in cables]


def _catalogue(patterns: Sequence[str], root: Path) -> Catalogue:
    try:
        return build_catalogue([(path, str(path)) for pattern in patterns for path in confined_files(root, pattern)])
    except Untrusted as error:
        raise Refusal([Problem("--parts", error.what, error.right)]) from error


def _offered(catalogue: Catalogue, kind: str) -> list[str]:
    """Parts of the part files that are still sold."""
    return [
        name for name in catalogue.ids(kind) if not name.startswith("generic/") and not catalogue.part(name).retired
    ]


def _recorder(catalogue: Catalogue, channels: int) -> str:
    """The smallest recorder of the part files that has an input for every camera, else the largest; empty without any."""
    sized = sorted((_channels(catalogue, name), name) for name in _offered(catalogue, "recorder"))
    return next((name for size, name in sized if size >= channels), sized[-1][1] if sized else "")


def _channels(catalogue: Catalogue, recorder: str) -> int:
    return len({channel for group in catalogue.part(recorder).inputs for channel in group.channels})


def _known(catalogue: Catalogue, kind: str, part: str, own: dict[str, Any]) -> None:
    if part in own:
        return
    if not catalogue.has(part) or catalogue.kind(part) != kind:
        right = did_you_mean(part, catalogue.ids(kind)) or f"name a {kind} of your part files, with --parts"
        raise Refusal([Problem(f"--{kind}", f"there is no {kind} part {quoted(part)}", right)])


def _own_parts(answers: Answers) -> dict[str, Any]:
    """Entries for what nobody named, with no more than what makes them entries."""
    rate, inputs = answers.video_rate, max(4, -(-len(answers.cameras) // 4) * 4)
    mode = {"family": "tvi", "mode": f"1920x1080@{rate}"}
    return {
        "own/camera": {"kind": "camera", "title": "Camera to be chosen", "source": "a wish, not a datasheet", "emits": [mode]},
        "own/recorder": {"kind": "recorder", "title": "Recorder to be chosen", "source": "a wish, not a datasheet",
                         "inputs": [{"channels": f"1-{inputs}", "accepts": [mode]}]},
    }  # fmt: skip


class _Plan:
    """Answers with what follows from them."""

    def __init__(self, answers: Answers, catalogue: Catalogue, camera: str, recorder: str, own: dict[str, Any]) -> None:
        self.answers, self.catalogue, self.camera, self.recorder, self.own = answers, catalogue, camera, recorder, own
        self.cable = answers.cable or _outdoor((_VIDEO_CABLE,), answers, catalogue)[0]
        self.power_cable = answers.power_cable or _outdoor(_POWER_CABLES, answers, catalogue)[0]

    def with_power_cable(self, cable: str) -> _Plan:
        """The same with another cable to the cameras."""
        other = _Plan(self.answers, self.catalogue, self.camera, self.recorder, self.own)
        other.power_cable = cable
        return other

    @property
    def inputs(self) -> int:
        """Inputs of one recorder."""
        if self.recorder in self.own:
            return len(self.answers.cameras) + 4
        return max(1, _channels(self.catalogue, self.recorder))

    @property
    def power(self) -> str:
        """`dc` or `ac`; empty for a camera that is fed by its network cable."""
        part = None if self.camera in self.own else self.catalogue.part(self.camera).power
        kind = "dc" if part is None else part.kind
        return "ac" if kind == "ac" else "" if kind == "poe" else "dc"

    @property
    def supplies(self) -> list[tuple[str, int]]:
        """Supplies with their outputs, enough for all cameras and no more."""
        choice, left, found = _SUPPLIES.get(self.power, ()), len(self.answers.cameras), list[tuple[str, int]]()
        while left > 0 and choice:
            found.append(next((each for each in choice if each[1] >= left), choice[-1]))
            left -= found[-1][1]
        return found

    def text(self, disks: Sequence[str], root: Path) -> str:
        """The site file, to lie in the folder `root`."""
        return "\n".join([*self._head(root), *self._devices(disks), *self._cameras()]) + "\n"

    def _head(self, root: Path) -> Iterator[str]:
        answers = self.answers
        yield schema_line(root)
        yield "# A first plan. Change what is not so, fill in lengths and datasheets, then: coaxwright check THIS-FILE"
        yield f"site: {flow(answers.name)}"
        yield f"video_rate: {answers.video_rate}           # 25 or 30: the frame family of the country"
        yield f"retention: {answers.retention} days"
        patterns = [*answers.parts, *([OWN_PARTS] if self.own else [])]
        yield f"parts: {flow(patterns)}   # datasheets as part files: coaxwright parts new camera"
        yield ""
        yield "# Said once for all; an entry that says otherwise wins. See docs/writing-a-site.md."
        yield "defaults:"
        yield f"  place: {{setting: {answers.setting}}}       # of cameras: indoor, sheltered or outdoor"
        yield "  device_place: {setting: indoor}"
        yield f"  cable: {{video: {flow(self.cable)}, power: {flow(self.power_cable)}}}"
        yield ""

    def _devices(self, disks: Sequence[str]) -> Iterator[str]:
        yield "recorders:"
        count = -(-len(self.answers.cameras) // self.inputs)
        for number in range(1, count + 1):
            with_disks = f", disks: {flow(list(disks))}" if disks else ""
            yield f"  rec{number}: {{part: {self.recorder}{with_disks}}}"
        yield ""
        if self.supplies:
            yield "supplies:"
            for number, (part, _) in enumerate(self.supplies, 1):
                yield f"  psu{number}: {{part: {part}}}"
            yield ""

    def _cameras(self) -> Iterator[str]:
        length = self.answers.length
        run = "{length: %s}" % ("0 m" if length is None else f"{length:g} m")
        if length is None:
            yield "# Nobody said how long the runs are: write `over: [{length: 45 m}]` into each way, along the cable."
        yield "# What each is for goes under `wants`: {see: identify, at: 12 m, night: true, rate: 12 fps, sound: true}"
        yield "cameras:"
        outputs = [
            f"psu{supply}/{number}"
            for supply, (_, size) in enumerate(self.supplies, 1)
            for number in range(1, size + 1)
        ]
        for place, name in enumerate(self.answers.cameras):
            port = f"rec{place // self.inputs + 1}/{place % self.inputs + 1}"
            over = "" if length is None else f", over: [{run}]"
            yield f"  {flow(name)}:"
            yield f"    part: {self.camera}"
            yield f"    video: {{into: {port}{over}}}"
            if outputs:
                yield f"    power: {{from: {outputs[place]}{over}}}"


def _checked(file: str, root: Path, plan: _Plan) -> NewSite:
    """The texts, the site with disks for what is to be kept, where that can be said."""
    parts = _parts_text(plan.own) if plan.own else ""
    bare = _load(plan.text((), root), file, root, parts)
    disks = _disks(plan, bare)
    report = _load(plan.text(disks, root), file, root, parts) if disks else bare
    files = {file: plan.text(disks, root), **({OWN_PARTS: parts} if parts else {})}
    return NewSite(files, report)


def _parts_text(own: dict[str, Any]) -> str:
    lines = [
        "# Stands for what is not chosen yet: coaxwright parts new camera shows all that a datasheet may state",
        "parts:",
    ]
    for part, entry in own.items():
        lines += [f"  {part}:", *(f"    {key}: {flow(value)}" for key, value in entry.items())]
    return "\n".join(lines) + "\n"


def _load(text: str, file: str, root: Path, parts: str) -> SiteReport:
    """The report on a text; part files that are still to be written are read from a folder of their own."""
    if not parts:
        return check(load_site_text(text, file, root))
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        extra = Path(folder) / OWN_PARTS
        extra.write_text(parts, encoding="utf-8")
        without = text.replace(f"{OWN_PARTS}]", "]").replace(", ]", "]")
        return check(load_site_text(without, file, root, extra_parts=[extra]))


def _disks(plan: _Plan, report: SiteReport) -> list[str]:
    """Disks that hold what is to be kept on the fullest recorder: the fewest, then the smallest; none where nobody knows."""
    facts = report.facts.sheets if isinstance(report.facts, SiteFacts) else None
    groups = [] if facts is None else facts.by_kind("disk_group")
    needs = [each.known("needed") for each in groups]
    if not needs or any(need is None for need in needs):
        return []
    bays = min((each.known("bays") or 1 for each in groups), default=1)
    for count in range(1, bays + 1):
        for size in _DISKS:
            if count * size * 1e12 * _PLANNED >= max(needs):
                return [f"generic/disk-{size}tb"] * count
    return []
