"""What a rule is about: one sheet at a time, a joint of two, or a path; and the variables that it then has.

Only relations that the facts know are here; a rule about any other is refused when it loads. `subjects` finds
them.
"""

from __future__ import annotations

from typing import Any

from coaxwright.facts.sheets import SHEETS
from coaxwright.immutable import immutable

PATH = "path"
JOINT = "judged_together"
"""Variable of the sweep of a joint or path; no rule names it."""


@immutable
class Scope:
    """What a rule is about: `form` is kind, joint or path; `variables` are (name, kind) pairs, the subject
    first.
    """

    form: str
    variables: tuple[tuple[str, str], ...]
    along: str = ""

    @property
    def subject(self) -> str:
        """Name of the variable that stands for what is judged."""
        return self.variables[0][0]

    @property
    def sweep_variable(self) -> str:
        """Name of the one variable of the generated loop."""
        return self.subject if self.form == "kind" else JOINT

    def __str__(self) -> str:
        """As rule pages name it."""
        kinds = [kind for _, kind in self.variables]
        if self.form == "path":
            return f"every path along {self.along} from {kinds[1]} to {kinds[2]}"
        return (
            f"every {kinds[0]}, for each {kinds[1]} that it feeds"
            if self.form == "joint"
            else f"every {kinds[0]}"
        )


FEEDING = frozenset(
    (kind, "camera") for kind in ("output", "supply", "junction", "recorder", "input", "disk_group")
)
PATHS = frozenset(
    [("camera", "video", end) for end in ("recorder", "input")]
    + [("camera", "power", end) for end in ("supply", "output", "junction")]
)


def kind_scope(kind: str) -> Scope:
    """A rule about each sheet of a kind; ValueError with advice for a kind that is not judged."""
    if kind not in SHEETS or kind == PATH:
        raise ValueError(_not_a_kind(kind))
    return Scope("kind", ((kind, kind),))


def joint_scope(kind: str, feeding: str) -> Scope:
    """A rule about each thing and each camera that hangs on it."""
    if (kind, feeding) not in FEEDING:
        known = ", ".join(f"{first} feeding {second}" for first, second in sorted(FEEDING))
        raise ValueError(f"`{kind}` feeding `{feeding}` is not a relation that the facts know: {known}")
    return Scope("joint", ((kind, kind), (feeding, feeding)))


def path_scope(start: str, along: str, end: str) -> Scope:
    """A rule about each path; its variables are `path`, then the kinds at its start and its end."""
    if (start, along, end) not in PATHS:
        known = "; ".join(f"from {first} along {way} to {last}" for first, way, last in sorted(PATHS))
        raise ValueError(f"from {start} along {along} to {end} is not a path that the facts know: {known}")
    return Scope("path", ((PATH, PATH), (start, start), (end, end)), along)


def scope_of(about: dict[str, Any] | str) -> Scope:
    """The scope that a rule's `about` states, given as plain data."""
    if isinstance(about, str):
        return kind_scope(about)
    if "along" in about:
        return path_scope(about["from"], about["along"], about["to"])
    return joint_scope(about["kind"], about["feeding"])


def _not_a_kind(kind: str) -> str:
    return f"`{kind}` is not a kind that rules judge: {', '.join(sorted(set(SHEETS) - {PATH}))}"
