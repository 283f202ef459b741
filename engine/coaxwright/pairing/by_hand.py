"""What a person could switch or set so that more of a pair works, each tried like the pair itself.

Every mode that the camera can be switched to and every recorder setting that is not made is tried alone; what
gains something is told with what it comes to. Two things at once are left to the settling's own words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from coaxwright.facts.picture.frames import suits
from coaxwright.facts.picture.switching import switchable
from coaxwright.immutable import immutable
from coaxwright.model.common import VideoMode
from coaxwright.pairing.cells import FEATURES, Cell, Clerk
from coaxwright.pairing.small_sites import Question

WORDS = {
    "full": "full width",
    "asked-down": "asked down by the recorder",
    "reduced-width": "reduced width",
    "needs-setting": "no picture without a setting",
    "no-picture": "no picture",
    "too-long": "too long a run",
    "unfit-cable": "a cable that does not fit",
}


@immutable
class ByHand:
    """One change by hand: what is done, by what, what it comes to, and what is gained and given up by it.

    `families` are the signal families in which the switch comes to the same; empty for a recorder setting. Not `sure`
    is what nobody knows to be possible: the part does not say how the camera is switched.
    """

    families: tuple[str, ...]
    mode: str
    setting: str
    how: str
    cell: Cell
    gains: tuple[str, ...]
    gives_up: tuple[str, ...]
    other_country: bool
    sure: bool = True

    @property
    def words(self) -> str:
        """As it is read aloud: after what is switched by what, what comes of it."""
        return f"{'after' if self.sure else 'if it can be done, after'} {self.done}: {told(self.cell)}{_also(self)}"

    @property
    def done(self) -> str:
        """What has to be done, without what comes of it."""
        if self.setting:
            return f"the recorder setting `{self.setting}` is made"
        families = " or ".join(family.upper() for family in self.families)
        size, _, rate = self.mode.partition("@")
        by = f" {self.how}" if self.how and self.sure else f" ({self.how})" if self.how else ""
        return f"the camera is switched to {families} {size} at {rate} frames a second{by}"


def told(cell: Cell) -> str:
    """What a pair comes to, in words."""
    if not cell.width:
        return WORDS.get(str(cell.outcome), "not known")
    recorded = "recorded rate not known" if cell.recorded_fps is None else f"recorded at {cell.recorded_fps:g}"
    return (
        f"{WORDS.get(str(cell.verdict), 'not known')}, {cell.width}x{cell.height} at {cell.acquired_fps:g}, {recorded}"
    )


def _also(change: ByHand) -> str:
    named = [each.replace("_", " ") for each in FEATURES if each in change.gains]
    lost = [each.replace("_", " ") for each in FEATURES if each in change.gives_up]
    text = f"; {' and '.join(named)} as well" if named else ""
    text += f"; without {' and '.join(lost)}" if lost else ""
    return text + ("; a rate of the other countries' frame family" if change.other_country else "")


def by_hand(clerk: Clerk, camera: str, recorder: str, question: Question, number: int) -> tuple[ByHand, ...]:
    """Changes that gain something over how things are, best first; those that another beats outright left out."""
    now = clerk.cell(camera, recorder, question, number)
    found = list(_switches(clerk, camera, recorder, question, number, now))
    found += _settings(clerk, camera, recorder, question, number, now)
    useful = [each for each in found if each.gains and each.cell.arrives and not _poor(each)]
    best = [each for each in useful if not any(_beats(other, each) for other in useful)]
    return tuple(sorted(best, key=lambda each: (each.other_country, *(-x for x in each.cell.worth))))


def _switches(clerk: Clerk, camera: str, recorder: str, question: Question, number: int, now: Cell) -> Iterator[ByHand]:
    """Every signal of the camera, families put together that come to the same."""
    emitter = clerk.memory.emitter(camera)
    picture = None if now.outcome is None or now.run.state else bool(now.width)
    able = switchable(clerk.catalogue.part(camera).switched_by, picture, now.control)
    if able.can is False:
        return
    how = able.how if able.can else able.because
    alike: dict[tuple[VideoMode, Cell], list[str]] = {}
    for signal in emitter.signals:
        asked = replace(question, family=signal.family, mode=str(signal.mode))
        cell = clerk.cell(camera, recorder, asked, number)
        alike.setdefault((signal.mode, cell._replace(family=None)), []).append(signal.family)
    for (mode, cell), families in alike.items():
        abroad = not suits(mode.fps, question.video_rate)
        yield _change(tuple(families), str(mode), "", how, cell, now, abroad, able.can is True)


def _settings(clerk: Clerk, camera: str, recorder: str, question: Question, number: int, now: Cell) -> Iterator[ByHand]:
    """Every recorder setting that lets a mode in and is not made."""
    part = clerk.catalogue.part(recorder)
    named = {row.after for group in part.inputs for row in group.accepts if row.after}
    for setting in sorted(named - set(question.made)):
        asked = replace(question, made=(*question.made, setting))
        cell = clerk.cell(camera, recorder, asked, number)
        yield _change((), "", setting, "", cell, now, abroad=False)


def _change(
    families: tuple[str, ...],
    mode: str,
    setting: str,
    how: str,
    cell: Cell,
    now: Cell,
    abroad: bool,
    sure: bool = True,
) -> ByHand:
    """What a change gains and gives up: outcome, detail, rate, and the other features."""
    better: list[str] = []
    worse: list[str] = []
    pairs = {
        "outcome": (cell.worth[0], now.worth[0]),
        "detail": (cell.worth[1], now.worth[1]),
        "rate": (cell.recorded_fps or 0.0, now.recorded_fps or 0.0),
        **{name: (getattr(cell, name) is True, getattr(now, name) is True) for name in FEATURES},
    }
    for name, (after, before) in pairs.items():
        (better if after > before else worse if after < before else []).append(name)
    return ByHand(families, mode, setting, how, cell, tuple(better), tuple(worse), abroad, sure)


def _poor(change: ByHand) -> bool:
    """Less detail for a rate alone, or with something else lost too: nobody switches a camera for that."""
    loses_detail = "detail" in change.gives_up
    return loses_detail and (change.gains == ("rate",) or bool(set(change.gives_up) & set(FEATURES)))


def _beats(one: ByHand, other: ByHand) -> bool:
    """No worse in anything and better in something; a rate of the other countries beats nothing."""
    if one.other_country and not other.other_country:
        return False
    first, second = _measures(one.cell), _measures(other.cell)
    return first != second and all(a >= b for a, b in zip(first, second, strict=True))


def _measures(cell: Cell) -> tuple[float, ...]:
    return (
        cell.worth[0],
        cell.worth[1],
        cell.recorded_fps or 0.0,
        cell.acquired_fps or 0.0,
        *(getattr(cell, name) is True for name in FEATURES),
    )
