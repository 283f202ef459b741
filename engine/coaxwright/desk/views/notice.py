"""What was just done, or stands in the way: in words, with what can be done about it. Never gone by time."""

from __future__ import annotations

from coaxwright.desk.views.pieces import button
from coaxwright.findings import Summary
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag


def said(kind: str, strong: str, rest: Child = "", *acts: Child) -> Markup:
    """One notice; `kind` is `done`, `warn` or `err`."""
    words = tag("div", tag("b", strong, id="said", tabindex="-1"), " ", rest, class_="words")
    close = button("dismiss", "Close", class_="plain")
    return tag("div", words, tag("div", acts, close, class_="acts"), class_=f"say {kind}")


def applied(title: str, before: Summary, after: Summary) -> Markup:
    """A proven change that was made, and what it did to the counts."""
    return said(
        "done",
        f"Applied: {title}.",
        moved(before, after),
        button("undo", "Undo this", class_="main-act", id_="undo-this"),
    )


def taken_in(told: str, before: Summary, after: Summary) -> Markup:
    """How a schedule was understood, and what it did to the counts."""
    details = tag("details", tag("summary", "How it was understood"), tag("pre", told))
    return said("done", "Imported, as one step.", join([moved(before, after), details]), button("undo", "Undo this"))


def moved(before: Summary, after: Summary) -> str:
    """The counts that changed, before and after."""
    names = (("error", "Errors"), ("warning", "Warnings"), ("note", "Notes"), ("open", "Open"))
    told = [f"{words} {getattr(before, name)} → {getattr(after, name)}" for name, words in names
            if getattr(before, name) != getattr(after, name)]  # fmt: skip
    return ", ".join(told) + "." if told else "The counts are as before."


def refused(cells: list[tuple[str, str, str]], taken: int) -> Markup:
    """Cells of a pasted block that could not be taken."""
    items = [
        tag("li", f"{_place(path)}: {what}{f'. {right[:1].upper()}{right[1:]}' if right else ''}.")
        for path, what, right in cells[:8]
    ]
    more = tag("p", f"{len(cells) - 8} more.") if len(cells) > 8 else None
    told = f"{count(taken, 'cell')} taken, {count(len(cells), 'cell')} refused."
    return said("warn", told, join([tag("ul", items), more]))


def _place(path: str) -> str:
    steps = [step for step in path.split("/")[2:] if step not in ("over", "0")]
    return " ".join(steps).replace("_", " ")


def disk_changed(unsaved: int, gone: bool) -> Markup:
    """Somebody else wrote the file: saving is held until one of three ways is chosen."""
    mine = (
        f"You have {count(unsaved, 'change')} here that are not in it."
        if unsaved
        else "You have no change here that is not saved."
    )
    if gone:
        return said(
            "warn",
            "The file is no longer there.",
            "Save writes it anew.",
            button("save", "Save"),
            button("copy", "Save as a copy"),
        )
    return said(
        "warn", "The file changed on disk.", f"{mine} Saving is held until you choose.",
        button("see-both", "See both"), button("copy", "Keep mine as a copy"),
        button("theirs", "Load theirs, put mine on top", keep_mine=True) if unsaved else None,
        button("theirs", "Load theirs"),
    )  # fmt: skip


def kept(left: list[str], among: int) -> Markup:
    """Theirs was taken and mine put on top; what no longer fits is told."""
    undo = button("undo", "Undo this")
    if not left:
        return said("done", "Loaded.", "Your changes are on top of it. Undo takes it back.", undo)
    fits = "no longer fits" if len(left) == 1 else "no longer fit"
    items = tag("ul", [tag("li", _place(path) or path) for path in left])
    rest = [items, "Undo, step by step, leads back to your text, where they stand."]
    return said("warn", f"{len(left)} of your {count(among, 'change')} {fits}.", join(rest), undo)
