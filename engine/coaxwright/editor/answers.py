"""What an editor asks about a place of a site: what it is, where it is defined, its other name, what can be done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from lsprotocol import types

from coaxwright.checking import FactShown, Rulebook, explain_subject
from coaxwright.editor.places import offset_of, position_of, range_of
from coaxwright.editor.shapes import shape_at
from coaxwright.editor.texts import OpenText
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import PatchError
from coaxwright.fixes.yaml_edits import edited
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.yaml_source import Document
from coaxwright.resources import data_root
from coaxwright.workspace.acting import actions
from coaxwright.workspace.edits import edit_between
from coaxwright.workspace.figures import part_figures
from coaxwright.workspace.renaming import renamed

Steps = tuple[str | int, ...]
GROUPS = ("cameras", "recorders", "supplies", "junctions", "boxes", "switches", "monitors", "ups", "cabinets")
_PORTS = ("into", "from", "recorder", "box")
_TOLD = {
    "video": ("settled", "loss", "reach"), "power": ("volts", "drop", "watts"), "record": ("fps", "bit", "days"),
    "length": ("loss", "drop", "volts"), "cable": ("loss", "ohm", "reach"), "retention": ("days", "capacity"),
    "disks": ("days", "capacity"), "trim": ("volts",),
}  # fmt: skip
"""By key, words of the facts whose workings are shown there."""
_FIRST = ("volts_night", "volts_day", "recorded_fps", "density", "reach", "days_held", "amps_night", "encode_used")
_MOST_FACTS, _MOST_WORKINGS = 24, 4


def path_at(document: Document, offset: int) -> Steps:
    """The innermost value, or key, that an offset stands in."""
    value: Any = document.value
    path: Steps = ()
    while isinstance(value, dict | list):
        steps: list[Any] = list(value) if isinstance(value, dict) else list(range(len(value)))
        inner = next((step for step in steps if _holds(document, (*path, step), offset)), None)
        if inner is None:
            return path
        path, value = (*path, inner), value[inner]
    return path


def _holds(document: Document, path: Steps, offset: int) -> bool:
    key, span = document.key_span(path), document.span(path)
    return min(key.start, span.start) <= offset <= span.end


def subject_of(path: Steps) -> str:
    """The subject that a path belongs to."""
    return f"{path[0]}/{path[1]}" if len(path) > 1 and path[0] in GROUPS else "site"


def value_at(document: Document, path: Steps) -> object:
    """The value at a path that the document has."""
    value: Any = document.value
    for step in path:
        value = value[step]
    return value


def hover(open_text: OpenText, place: types.Position, catalogue: Catalogue, rulebook: Rulebook) -> types.Hover | None:
    """What stands there: words of the key, figures of a part, why of a rule, computed values with workings."""
    document = open_text.document
    if document is None:
        return None
    path = path_at(document, offset_of(open_text.text, place))
    if not path:
        return None
    told = [each for each in _told(open_text, document, path, catalogue, rulebook) if each]
    shown = types.MarkupContent(types.MarkupKind.Markdown, "\n\n".join(told))
    return types.Hover(shown, range_of(open_text.text, document.nearest_span(path))) if told else None


def _told(open_text: OpenText, document: Document, path: Steps, catalogue: Catalogue, rulebook: Rulebook) -> Iterator[str]:
    words = [step for step in path if isinstance(step, str)]
    shape = shape_at(open_text.schema, words[:-1], words[-1])
    value = value_at(document, path)
    if shape is not None:
        yield f"**{shape.name}**: {shape.says}"
    if isinstance(value, str) and catalogue.has(value):
        yield f"`{value}`: {part_figures(catalogue.part(value))}"
    if isinstance(value, str) and value in rulebook.by_id:
        rule = rulebook.by_id[value]
        yield f"**{rule.title}** ({rule.level})\n\n{rule.why}"
    if open_text.site is not None and open_text.site.state is not None:
        yield from _facts(open_text, subject_of(path), words[-1], len(path) == 2)


def _facts(open_text: OpenText, subject: str, key: str, whole_entry: bool) -> Iterator[str]:
    """Computed values of a subject: all of an entry, or those that belong to a key, with workings."""
    wanted = _TOLD.get(key, ())
    if open_text.site is None or open_text.site.state is None or not (wanted or whole_entry):
        return
    try:
        facts = explain_subject(open_text.site.state.basis.loaded, subject)
    except Refusal:
        return
    known = [each for each in facts if each.value is not None and not isinstance(each.value, list | tuple)]
    known.sort(key=lambda each: (each.name.partition(".")[2] not in _FIRST, not (each.unit and each.working)))
    chosen = known if whole_entry else [each for each in known if any(word in each.name for word in wanted)]
    if chosen:
        stale = " (of the last text that could be judged)" if open_text.site.old else ""
        yield f"`{subject}`{stale}\n\n" + "\n".join(_line(each) for each in chosen[:_MOST_FACTS])
    workings = [each for each in chosen if each.working and not whole_entry][:_MOST_WORKINGS]
    yield from (f"```\n{each.name}\n  " + "\n  ".join(each.working) + "\n```" for each in workings)


def _line(fact: FactShown) -> str:
    value = f"{fact.value:.4g}" if isinstance(fact.value, float) else str(fact.value)
    return f"- {fact.name.partition('.')[2]}: {value} {fact.unit}".rstrip()


def definition(open_text: OpenText, place: types.Position, catalogue: Catalogue, rulebook: Rulebook) -> types.Location | None:
    """Where the part, the rule or the device is defined that is named there."""
    document = open_text.document
    if document is None:
        return None
    path = path_at(document, offset_of(open_text.text, place))
    value = value_at(document, path)
    if not isinstance(value, str):
        return None
    return _part(open_text, value, catalogue) or _rule(value, rulebook) or _device(open_text, document, path, value)


def _part(open_text: OpenText, value: str, catalogue: Catalogue) -> types.Location | None:
    found = catalogue.where(catalogue.full_id(value)) if catalogue.has(value) else None
    if found is None:
        return None
    shown, span = found
    return types.Location(open_text.file_of(shown).as_uri(), range_of(open_text.text_of(shown), span))


def _rule(value: str, rulebook: Rulebook) -> types.Location | None:
    if value not in rulebook.by_id:
        return None
    shown = Path(rulebook.by_id[value].file)
    own = Path(str(data_root("rules").joinpath(*shown.parts[1:]))) if shown.parts[:1] == ("rules",) else shown
    file = shown if shown.is_absolute() else own
    return types.Location(file.resolve().as_uri(), types.Range(types.Position(0, 0), types.Position(0, 0)))


def _device(open_text: OpenText, document: Document, path: Steps, value: str) -> types.Location | None:
    """The entry that a port word means."""
    if path[-1] not in _PORTS and path[-1] != "on":
        return None
    names = value.split("/")
    name = names[1] if path[-1] == "on" and len(names) > 1 else names[0]
    for group in GROUPS:
        if name in (document.value.get(group) or {}):
            return types.Location(open_text.path.as_uri(), range_of(open_text.text, document.key_span((group, name))))
    return None


def rename(open_text: OpenText, place: types.Position, to: str) -> types.WorkspaceEdit:
    """The edit that gives an entry another name wherever the file means it. Raises Refusal where none is meant."""
    document = open_text.document
    path = () if document is None else path_at(document, offset_of(open_text.text, place))
    if document is None or len(path) < 2 or path[0] not in GROUPS:
        raise Refusal([Problem(open_text.path.name, "no entry stands here", "put the cursor on the name of a camera")])
    return edit_to(open_text, renamed(document, str(path[0]), str(path[1]), to))


def edit_to(open_text: OpenText, text: str) -> types.WorkspaceEdit:
    """The least edit of one stretch that makes another text of this one."""
    edit = edit_between(open_text.text, text)
    start = position_of(open_text.text, edit.start)
    end = position_of(open_text.text, edit.end)
    return types.WorkspaceEdit({open_text.path.as_uri(): [types.TextEdit(types.Range(start, end), edit.text)]})


def code_actions(open_text: OpenText, asked: Sequence[types.Diagnostic]) -> list[types.CodeAction]:
    """Changes that were proven for the findings shown there, best first; each tells its cost and what it harms."""
    site = open_text.site
    if site is None or site.state is None or site.old:
        return []
    made = []
    for diagnostic in asked:
        about = diagnostic.data if isinstance(diagnostic.data, dict) else {}
        if "rule" in about:
            made += list(_changes(open_text, diagnostic, str(about["rule"]), str(about.get("subject"))))
    return made


def _changes(open_text: OpenText, diagnostic: types.Diagnostic, rule: str, subject: str) -> Iterator[types.CodeAction]:
    site = open_text.site
    assert site is not None
    try:
        fixes = actions(site, rule, subject).fixes
    except Refusal:
        return
    for number, fix in enumerate(fixes):
        try:
            text = edited(site.document, fix.patch).text
        except PatchError:
            continue
        harm = "; ".join([*fix.gives_up, *fix.introduces, *fix.opens, *map(str, fix.worsens)])
        yield types.CodeAction(
            f"{fix.title} (proven{f'; {harm}' if harm else ''})", kind=types.CodeActionKind.QuickFix,
            diagnostics=[diagnostic], edit=edit_to(open_text, text), is_preferred=number == 0 and not harm,
        )  # fmt: skip


_HINTS = (("cameras", "power", "volts_night", "V at night"), ("recorders", "disks", "days_held", "days held"))


def hints(open_text: OpenText) -> list[types.InlayHint]:
    """Volts at cameras and days of recorders behind the keys that decide them."""
    document, site = open_text.document, open_text.site
    if document is None or site is None or site.report is None or site.old:
        return []
    made = []
    for group, key, fact, unit in _HINTS:
        for name, entry in (document.value.get(group) or {}).items():
            subject = f"{group}/{name}/disks" if key == "disks" else f"{group}/{name}"
            value = _known(site.report.facts, subject, fact)
            if value is not None and isinstance(entry, dict) and key in entry:
                end = document.key_span((group, name, key)).end
                place = position_of(open_text.text, end)
                made.append(types.InlayHint(place, f" {value:.4g} {unit}", kind=types.InlayHintKind.Type))
    return made


def _known(facts: Mapping[str, Mapping[str, Any]], subject: str, name: str) -> float | None:
    try:
        value = facts[subject].get(name)
    except KeyError:
        return None
    return float(value) if isinstance(value, int | float) else None
