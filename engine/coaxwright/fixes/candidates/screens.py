"""Candidates about screens: another output of a recorder that fits, free ones first."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.fixes.candidates.bench import MOVE, Bench, Candidate, Want
from coaxwright.fixes.parts_of_facts import entry_of


def screens_elsewhere(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Every other output of every recorder, those that no screen has first."""
    taken = {each.source for each in bench.site.monitors.values()}
    for sheet in want.sheets:
        if sheet.kind == "monitor":
            name = entry_of(sheet.subject)[1]
            now = bench.site.monitors[name].source
            for port in sorted(_outputs(bench), key=lambda each: each in taken):
                if port != now:
                    yield Candidate(f"join {name} to {port}", (bench.write(("monitors", name, "from"), port),), MOVE)


def _outputs(bench: Bench) -> list[str]:
    """Screen outputs of all recorders, as the site file names them."""
    return [
        f"{name}/{output.connector}"
        for name, recorder in bench.site.recorders.items()
        for output in bench.part(recorder.part).outputs or ()
    ]
