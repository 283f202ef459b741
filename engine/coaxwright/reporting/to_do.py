"""What to do on a site, the most urgent first: findings that one thing brings about stand together, and are told once.

Order: errors before warnings; then by what is lost, where a camera without power counts as one without a picture; then by
how many cameras it concerns; then by how many findings; then by place in the file. Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence

from coaxwright.findings import LEVELS, Finding, SiteReport
from coaxwright.immutable import immutable
from coaxwright.reporting.causes import WORD, without_names
from coaxwright.reporting.ordering import CONSEQUENCES, cameras_of, failed

MOST = 5
"""Things told in a list; of more the number."""
LEAST = 2
"""Things from which on a list is told: one thing needs none."""
_LOAD = frozenset(
    ("voltage-collapse", "output-overloaded", "supply-current", "trunk-drop", "conductor-overloaded", "start-too-heavy")
)
"""Causes that are one and the same at a supply: more is asked of it or of its trunk than it gives."""
_COLLAPSE = "voltage-collapse"
"""Of a regulated supply each output collapses by itself: what hangs on another may hold."""
_OF_PART = frozenset(("supply-voltage-high", "battery-end-voltage"))
"""Causes that lie in the part, wherever it stands."""
_DARK = frozenset(("no-picture", "no-power", "no-recording"))
"""Consequences that are looked at camera by camera, unless one change at their supply would serve them all."""
_SURROUNDINGS = frozenset(("wear", "neatness"))
"""Consequences of which the same cause at several cameras is one thing to do."""
_LOST = {"no-picture": "no picture", "no-power": "no power", "no-recording": "no recording", "evidence-lost": "recordings lost",
         "less-than-wanted": "less than is wanted", "sound-or-control": "sound or control missing", "wear": "wear and weather",
         "neatness": "neatness"}  # fmt: skip
_AT_RISK = {"no-picture": "picture at risk", "no-power": "power is tight", "no-recording": "recording at risk",
            "evidence-lost": "recordings at risk", "less-than-wanted": "less than could be",
            "sound-or-control": "sound and control"}  # fmt: skip


@immutable
class Thing:
    """One thing to do: the places that it comes from, its findings (the gravest first), the number of cameras concerned.

    `alike` says that the findings have causes of their own, and that one change or one kind of change serves them all.
    """

    roots: tuple[str, ...]
    findings: tuple[Finding, ...]
    cameras: int
    alike: bool = False

    @property
    def first(self) -> Finding:
        """The finding that stands for it."""
        return self.findings[0]

    @property
    def words(self) -> str:
        """It in a sentence or two: where, what is lost at how many cameras, what is wrong, what could be tried."""
        first = self.first
        lost = (_LOST if first.level == "error" else {**_LOST, **_AT_RISK})[first.consequence]
        at = f" ({self.cameras} camera{'s' if self.cameras != 1 else ''})" if self.cameras else ""
        do = self._change()
        return f"{_named(self.roots)}: {lost}{at}. {first.message}{self._also()}{f' Try: {do}.' if do else ''}"

    def _also(self) -> str:
        more = len(self.findings) - 1
        if self.alike and more:
            return f" {more} more {'are' if more > 1 else 'is'} like it."
        return f" {more} more finding{'s come' if more > 1 else ' comes'} from the same." if more else ""

    def _change(self) -> str:
        """What could be tried: first what all of its findings offer alike."""
        titles = [each.title for each in self.first.fixes]
        others = [{each.title for each in finding.fixes} for finding in self.findings] if self.alike else []
        common = [title for title in titles if all(title in other for other in others)]
        return next(iter(common or titles), "")


def _named(roots: Sequence[str]) -> str:
    """The places in words: of one group the group once."""
    group = roots[0].partition("/")[0]
    if len(roots) > 1 and all(each.partition("/")[0] == group for each in roots):
        names = [each.partition("/")[2] for each in roots]
        return f"{group}/{names[0]}, {', '.join(names[1:4])}" + (
            f" and {len(names) - 4} more" if len(names) > 4 else ""
        )
    return ", ".join(roots)


def things_to_do(report: SiteReport) -> list[Thing]:
    """All that is to be done about errors and warnings, the most urgent first."""
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in failed(report):
        if finding.level != "note":
            groups.setdefault(_key(report, finding), []).append(finding)
    things = [_thing(report, found) for found in groups.values()]
    return sorted((_together(report, each) for each in _by_likeness(report, things)), key=_urgency)


def _by_likeness(report: SiteReport, things: Sequence[Thing]) -> Iterable[list[Thing]]:
    """Single findings that one change, or one kind of change, could clear stand together."""
    kinds: dict[Hashable, list[Thing]] = {}
    for thing in things:
        kinds.setdefault(_likeness(report, thing), []).append(thing)
    return kinds.values()


def _likeness(report: SiteReport, thing: Thing) -> Hashable:
    """The same for things that stand together; the thing's own findings where it stands alone.

    Two cameras that lack power are one thing where one change at their supply is offered for both; what is lost but no
    picture, power or recording is one thing at cameras of one part on one recorder or supply. Dark ones of one part are one
    thing there where the same is told of each but for its name: six cameras that all leave the box in the wrong mode.
    """
    first, devices = thing.first, _devices(thing.first)
    if len(thing.findings) > 1 or len(thing.roots) > 1 or not thing.roots[0].startswith("cameras/"):
        return tuple(each.key for each in thing.findings)
    code = first.cause.partition(":")[0]
    supplied = [each for each in _changes_at_supplies(first, devices) if _within_trim(report, first, devices)]
    part = _fact(report, thing.roots[0], "part")
    if supplied:
        return first.rule, first.level, code, supplied[0]
    if not part or not devices:
        return first.key
    dark = without_names(first) if first.consequence in _DARK else ""
    return first.rule, first.level, code, str(part), devices[0], dark


def _changes_at_supplies(finding: Finding, devices: Sequence[str]) -> list[str]:
    """The changes offered that name a supply and not the camera that the finding is about."""
    own = finding.subject.split("/")[1]
    supplies = [each.partition("/")[2] for each in devices if each.startswith("supplies/")]
    words = [(each.title, set(WORD.findall(each.title))) for each in finding.fixes]
    return [title for title, named in words if own not in named and not named.isdisjoint(supplies)]


def _within_trim(report: SiteReport, finding: Finding, devices: Sequence[str]) -> bool:
    """Whether what is short is no more than what the trim of a supply can add.

    At constant power the drop falls as the supply rises, so a camera gains at least the share that its supply gains.
    """
    short = max(0.0, -(finding.margin or 0.0))
    for device in devices:
        most, now = _fact(report, device, "trim_max"), _fact(report, device, "volts")
        if isinstance(most, float | int) and isinstance(now, float | int) and now > 0 and (most - now) / now >= short:
            return True
    return False


def _devices(finding: Finding) -> list[str]:
    """The recorders and supplies among the related places."""
    places = [each.subject.split("/") for each in finding.related]
    return sorted({f"{each[0]}/{each[1]}" for each in places if each[0] in ("recorders", "supplies") and len(each) > 1})


def _together(report: SiteReport, things: Sequence[Thing]) -> Thing:
    """Things that are alike as one, the gravest first; one by itself as it is."""
    if len(things) == 1:
        return things[0]
    found = [each for thing in sorted(things, key=_urgency) for each in thing.findings]
    roots = tuple(dict.fromkeys(root for thing in things for root in thing.roots))
    return Thing(roots, tuple(found), len(cameras_of(found)), alike=True)


def _key(report: SiteReport, finding: Finding) -> tuple[str, ...]:
    """The same for findings that one thing brings about."""
    code, _, root = finding.cause.partition(":")
    supply = _supply_of(root)
    if code in _LOAD and supply:
        return "load", root if code == _COLLAPSE else supply
    if code in _OF_PART and supply:
        return code, str(_fact(report, supply, "part") or supply)
    if finding.consequence in _SURROUNDINGS and root.startswith("cameras/"):
        return code, finding.level
    return (finding.cause,) if finding.cause else finding.key


def _supply_of(root: str) -> str:
    """The supply that a root is, or is an output of; nothing otherwise."""
    group, _, rest = root.partition("/")
    return f"{group}/{rest.partition('/')[0]}" if group == "supplies" else ""


def _fact(report: SiteReport, subject: str, name: str) -> object:
    try:
        return report.facts[subject].get(name)
    except KeyError:
        return None


def _thing(report: SiteReport, found: list[Finding]) -> Thing:
    found.sort(key=lambda each: (LEVELS.index(each.level), _lost(each)))
    roots = dict.fromkeys(_root(each) for each in found)
    return Thing(tuple(sorted(roots, key=list(roots).index)), tuple(found), _cameras(report, found, roots))


def _root(finding: Finding) -> str:
    """Where a finding comes from: the device, without its runs."""
    root = finding.cause.partition(":")[2] or finding.subject
    group, _, rest = root.partition("/")
    code = finding.cause.partition(":")[0]
    if code in _LOAD and group == "supplies":
        return root if code == _COLLAPSE else _supply_of(root)
    return f"{group}/{rest.partition('/')[0]}" if group == "cameras" else root


def _cameras(report: SiteReport, found: Sequence[Finding], roots: Iterable[str]) -> int:
    """Cameras concerned: those that are named, and all on an output that collapses or on a recorder or its disks."""
    collapses = any(each.cause.partition(":")[0] == _COLLAPSE for each in found)
    counts = [_fact(report, whole, "cameras") for root in roots if (whole := _whole(root, collapses))]
    return max(len(cameras_of(found)), *(count for count in counts if isinstance(count, int)), 0)


def _whole(root: str, collapses: bool) -> str:
    """What all cameras hang on that a root concerns; nothing where it concerns those that are named."""
    group, _, rest = root.partition("/")
    if group == "supplies" and collapses:
        return root
    device = f"{group}/{rest.partition('/')[0]}"
    return device if group == "recorders" and root in (device, f"{device}/disks") else ""


def _lost(finding: Finding) -> int:
    """Rank of what is lost; without power there is no picture either."""
    return max(0, CONSEQUENCES.index(finding.consequence) - 1)


def _urgency(thing: Thing) -> tuple[int, int, int, int, int]:
    first = thing.first
    line = first.span.line if first.span else 0
    return LEVELS.index(first.level), _lost(first), -thing.cameras, -len(thing.findings), line


def told(things: Sequence[Thing], most: int = MOST) -> list[str]:
    """The list as sentences, the first ones; the last tells how many more there are."""
    lines = [each.words for each in things[:most]]
    more = len(things) - most
    return [*lines, f"and {more} more, below in order of rule"] if more > 0 else lines
