"""What the page asks besides the protocol: pages about a row, downloads, files, a block to paste, the list of keys."""

from __future__ import annotations

from coaxwright.desk import beginning, bringing, downloads, example, proposing, taking_in
from coaxwright.desk.answers import Act, Held, Request, Shown
from coaxwright.desk.arriving import only_file
from coaxwright.desk.pasting import pasted
from coaxwright.desk.views import compare, every_figure, forms, limits, options
from coaxwright.desk.views.look import FILES, FIRST
from coaxwright.errors import Problem, Refusal
from coaxwright.show.markup import join
from coaxwright.show.plain_data import plain
from coaxwright.workspace.project import Refused
from coaxwright.workspace.protocol import BadRequest, reply, text_of


def _forget(held: Held, request: Request) -> Shown:
    return Shown(dialog=("Forget this site", forms.forget(held.inside, held.work.site.unsaved_steps)))


def _forget_now(held: Held, request: Request) -> Shown:
    """The page drops what the browser keeps; where the engine runs in it, the file goes as well."""
    name = held.work.site.name
    if held.inside:
        held.work.store.path(name).unlink(missing_ok=True)
    held.work.close()
    return Shown(go=f"/site/{FILES}", focus=("h1",), say="Forgotten.", close=True)


def _look(held: Held, request: Request) -> Shown:
    """Nothing but the page as it is."""
    return Shown()


def _keys(held: Held, request: Request) -> Shown:
    return Shown(dialog=("Keys", forms.keys()))


def _copy(held: Held, request: Request) -> Shown:
    return Shown(dialog=("Save as a copy", forms.copy(held.work.site.name)))


def _compare(held: Held, request: Request) -> Shown:
    return Shown(dialog=("Compared with the saved file", compare.comparison(held.work.compared())))


def _both(held: Held, request: Request) -> Shown:
    """Theirs and mine, where the file changed on disk: nothing is written."""
    words = "The file on disk and yours"
    return Shown(dialog=(words, compare.comparison(held.work.against_disk(), "Nothing differs from the file on disk.")))


def _bring(held: Held, request: Request) -> Shown:
    """Files from elsewhere; the first site among them is opened."""
    keep = request.get("replace") is True
    sites = bringing.brought(held.work, request.get("files"), replace=keep)
    if not sites or keep:
        return Shown({"sites": sites})
    held.work.open(sites[0])
    return Shown({"sites": sites}, go=FIRST, focus=("h1",))


def _folder(held: Held, request: Request) -> Shown:
    return Shown({"files": bringing.kept(held.work)})


def _import(held: Held, request: Request) -> Shown:
    _seen(held, request, "choose the file again")
    file = only_file(request)
    told = taking_in.taken_in(held.work, text_of(file, "name"), text_of(file, "base64"))
    return Shown({"told": told}, say="Imported.")


def _seen(held: Held, request: Request, right: str) -> None:
    if request.get("version") != held.work.site.version:
        raise BadRequest(f"the site was changed elsewhere meanwhile: {right}")


def _row(request: Request) -> tuple[str, str]:
    """The subject that a page is about, and its name."""
    subject = text_of(request, "subject")
    return subject, subject.partition("/")[2] or subject


def _limits(held: Held, request: Request) -> Shown:
    subject, name = _row(request)
    return Shown(dialog=(f"How far can {name} move?", limits.limits(subject, *held.work.limits(subject))))


def _figures(held: Held, request: Request) -> Shown:
    subject, name = _row(request)
    return Shown(dialog=(f"Every figure of {name}", every_figure.every_figure(held.work.explain(subject))))


def _trial(held: Held, request: Request) -> Shown:
    """A trial value in words: what would fail, what would be mended; and the button that makes it."""
    value, anchor = request.get("value"), text_of(request, "anchor")
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise BadRequest("`value` has to be a number")
    try:
        found = held.work.trial(text_of(request, "subject"), text_of(request, "path"), float(value))
    except Refusal as refusal:
        return Shown(parts={f"{anchor}-trial": join([refusal.problems[0].what])})
    changes = found.changes
    told = [
        *(f"Mends: {each.message}" for each in changes.gone[:3]),
        *(f"New: {each.message}" for each in changes.new[:3]),
    ]
    says = " ".join(told) or "No finding comes or goes."
    parts = limits.trial(anchor, found.told, says, plain(found.patch), text_of(request, "label", "a number"))
    return Shown({"valuetext": f"{found.told}. {says}"}, parts=parts)


def _options(held: Held, request: Request) -> Shown:
    found = held.work.complete(text_of(request, "path"), text_of(request, "text", ""))
    return Shown(
        options.listed([(each.value, each.figures) for each in found.shown], found.count, text_of(request, "text", ""))
    )


def _download(held: Held, request: Request) -> Shown:
    kind = text_of(request, "kind")
    if kind not in downloads.KINDS:
        raise BadRequest(f"`kind` is one of: {', '.join(downloads.KINDS)}")
    made = downloads.KINDS[kind](held.work)
    return Shown(file=made, say=f"{made.name} is downloaded.")


def _example(held: Held, request: Request) -> Shown:
    name = example.copied(held.work.store.root)
    held.work.open(name)
    return Shown({"name": name}, go=FIRST, focus=("h1",))


def _begin(held: Held, request: Request) -> Shown:
    """A new site from the fields of the form; with `sample`, beside the invented parts of the example."""
    if request.get("sample") is True:
        example.sample_parts(held.work.store.root)
    rate = text_of(request, "video_rate", "25")
    file = forms.file_name(text_of(request, "name", ""), text_of(request, "site", ""))
    if text_of(request, "cameras", "").strip():
        beginning.begun(held.work, file, request)
        return Shown(go=FIRST, focus=("h1",))
    made = reply(
        held.work, {**request, "do": "create", "name": file, "video_rate": int(rate) if rate.isdecimal() else 0}
    )
    _must(made["ok"], made)
    return Shown(go=FIRST, focus=("h1",))


def _must(done: bool, answer: Request) -> None:
    if not done:
        raise Refusal([Problem(each["file"], each["what"], each["right"]) for each in answer["problems"]])


def _paste(held: Held, request: Request) -> Shown:
    """A block from a spreadsheet, as one step; cells that mean nothing are told and left out."""
    _seen(held, request, "paste it again")
    found = pasted(held.work, text_of(request, "sheet"), text_of(request, "cell"), text_of(request, "text"))
    number = len(found.cells)
    refused = held.work.set_cells(found.cells, f"{number} cells pasted" if number > 1 else "")
    beyond = f"{found.beyond} cells lie beyond the last row." if found.beyond else ""
    return Shown({"refused": _named(refused), "taken": number - len(refused)}, say=beyond)


def _named(refused: list[Refused]) -> list[dict[str, str]]:
    return [{"path": path, "what": what, "right": right} for path, what, right in refused]


def _supply(held: Held, request: Request) -> Shown:
    """One cell from a field of its own."""
    _seen(held, request, "write it again")
    text = text_of(request, "text").strip()
    refused = held.work.set_cells([(text_of(request, "path"), text)]) if text else []
    return Shown({"refused": _named(refused), "taken": 1 - len(refused)})


ACTS: dict[str, Act] = {
    "look": _look, "dismiss": _look, "keys": _keys, "copy": _copy, "compare-page": _compare, "see-both": _both,
    "download": _download, "example": _example, "begin": _begin,
    "figures": _figures, "limits-page": _limits, "trial": _trial, "options": _options,
    "import": _import, "bring": _bring, "folder": _folder, "forget": _forget, "forget-now": _forget_now, "paste": _paste,
    "supply": _supply, **proposing.ACTS,
}  # fmt: skip
"""By the name that stands in `data-do`, `data-live`, `data-complete` or `data-soon`."""
