"""What an edit would change: only the differences, fact by fact and finding by finding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Finding
from coaxwright.fixes.comparing import Harm
from coaxwright.fixes.giving_up import given_up
from coaxwright.fixes.patching import Operation, PatchError, has_path, pointer, value_at
from coaxwright.fixes.proving import worse_by
from coaxwright.fixes.rejudging import SiteState, Trial
from coaxwright.fixes.settled_losses import losses_of
from coaxwright.reading.yaml_source import parse_document


@dataclass(frozen=True)
class FactChange:
    """One fact that differs; None where it is not known on that side. `unit` is its base unit."""

    subject: str
    name: str
    before: Any
    after: Any
    unit: str


@dataclass(frozen=True)
class Differences:
    """All that an edit changes. `told` holds findings that stay but say something else, before and after; `worse` is
    what got worse by the one proof, `gives_up` which stated needs are dropped or lowered, `loses` what else is lost.
    """

    facts: tuple[FactChange, ...]
    cleared: tuple[Finding, ...]
    introduced: tuple[Finding, ...]
    told: tuple[tuple[Finding, Finding], ...]
    worse: tuple[Harm, ...] = ()
    gives_up: tuple[str, ...] = ()
    loses: tuple[str, ...] = ()


def operations(state: SiteState, settings: Iterable[str], removals: Iterable[str]) -> list[Operation]:
    """Operations for `path=value` and for paths to remove, each on the document as changed so far. Raises
    Refusal for what cannot be read.
    """
    found: list[Operation] = []
    for text in settings:
        path, equals, written = text.partition("=")
        if not equals:
            raise _refused(text, "is no setting", "write path=value, as in cameras/slipway/video/over/0/length=120m")
        steps = _steps(path)
        found.append(_setting(state.value, steps, _read(written), text))
    found += [{"op": "remove", "path": pointer(_steps(path))} for path in removals]
    return found


def operation_of(state: SiteState, path: str, value: object) -> Operation:
    """The operation that sets a value that was read at a path. Raises Refusal where it cannot stand there."""
    return _setting(state.value, _steps(path), value, f"{path}={value}")


def _setting(value: object, steps: Sequence[str], new: object, text: str) -> Operation:
    """The operation for one setting: groups around the value are made where they lack."""
    for length in range(len(steps), -1, -1):
        if has_path(value, steps[:length]):
            break
    around = value_at(value, steps[:length])
    if length == len(steps):
        return {"op": "replace", "path": pointer(steps), "value": new}
    if not isinstance(around, dict | list):
        raise _refused(
            text, f"has nothing at `{'/'.join(steps[: length + 1])}`", f"`{'/'.join(steps[:length])}` is a single value"
        )
    for step in reversed(steps[length + 1 :]):
        new = {step: new}
    return {"op": "add", "path": pointer(steps[: length + 1]), "value": new}


def _steps(path: str) -> list[str]:
    steps = [step for step in path.strip().strip("/").split("/") if step]
    if not steps:
        raise _refused(path, "names nothing", "write a path, as in cameras/slipway/power/from")
    if steps[0] == "parts":
        raise _refused(path, "is a part file", "edit the part file, or name another part")
    return steps


def _read(written: str) -> object:
    """A value as the site file would read it: `120m`, `true`, `{family: tvi}`."""
    return parse_document(f"value: {written.strip()}\n", "--set").value["value"]


def _refused(text: str, what: str, right: str) -> Refusal:
    return Refusal([Problem("--set", f"`{text}` {what}", right)])


def tried(state: SiteState, settings: Iterable[str], removals: Iterable[str] = ()) -> Trial:
    """The edit tried on the site. Raises Refusal where it cannot be made or checked."""
    patch = operations(state, settings, removals)
    try:
        return state.after(patch)
    except PatchError as error:
        raise Refusal([Problem("--set", str(error), "name what the site file has")]) from error


def differences(trial: Trial) -> Differences:
    """What differs between both sides."""
    before, after = ({each.key: each for each in state.report().findings} for state in (trial.before, trial.after))
    told = tuple(
        (before[key], after[key]) for key in before if key in after and _says(before[key]) != _says(after[key])
    )
    return Differences(
        tuple(_facts(trial)),
        tuple(each for key, each in before.items() if key not in after),
        tuple(each for key, each in after.items() if key not in before),
        told,
        worse_by(trial),
        given_up(trial.before, trial.after),
        losses_of(trial),
    )


def _says(finding: Finding) -> tuple[Any, ...]:
    """What counts as a difference of one finding; not where it stands."""
    return finding.kind, finding.level, finding.message, finding.missing, finding.waived, finding.margin


def _facts(trial: Trial) -> Iterable[FactChange]:
    """Facts of the touched components that differ, in the order of the sheets."""
    sides = [_values(state, trial) for state in (trial.before, trial.after)]
    for key in dict.fromkeys([*sides[0], *sides[1]]):
        one, other = sides[0].get(key), sides[1].get(key)
        before, after = one and one[0], other and other[0]
        if before != after:
            yield FactChange(*key, before, after, (one or other or (None, ""))[1])


def _values(state: SiteState, trial: Trial) -> dict[tuple[str, str], tuple[Any, str]]:
    """Plain values of the touched components by subject and `kind.field`, with their base units."""
    found: dict[tuple[str, str], tuple[Any, str]] = {}
    for component, part in state.parts.items():
        if component not in trial.touched:
            continue
        for kind, sheets in part.sheets.items():
            for sheet in sheets:
                for name, about in type(sheet).__dataclass_fields__.items():  # type: ignore[attr-defined]
                    value = sheet.known(name)
                    if about.metadata and isinstance(value, bool | int | float | str):
                        found[sheet.subject, f"{kind}.{name}"] = (value, about.metadata["unit"])
    return found
