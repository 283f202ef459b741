"""Sites as they were in a git revision: their folders are unpacked somewhere else and judged by the rules of today."""

from __future__ import annotations

import datetime
import io
import os
import subprocess
import tarfile
import tempfile
from collections.abc import Sequence
from pathlib import Path

from coaxwright.cli.output import complain
from coaxwright.errors import Problem, Refusal
from coaxwright.estate.known import Known, known_of
from coaxwright.findings import Report

_RIGHT = "name a revision of the repository that the sites are in, as in HEAD~1, or a saved report"


def known_at(revision: str, report: Report, extra_rules: Sequence[Path], today: datetime.date | None) -> Known:
    """What is found in the sites of a report as they were at a revision. What could not be read then is told of.

    Raises Refusal where there is no such revision, no repository, or no git.
    """
    from coaxwright.checking import check_many, load_rulebook

    known: Known = {}
    with tempfile.TemporaryDirectory(prefix="coaxwright-") as name:
        places = {_unpacked(Path(site.file), revision, Path(name)): site.file for site in report.sites}
        there = [place for place in places if place.is_file()]
        before = check_many(there, rulebook=load_rulebook(extra_rules), today=today) if there else None
        for problem in before.unread if before else ():
            complain(f"at {revision}, {places.get(Path(problem.file), problem.file)} could not be read: {problem.what}")
        found = known_of(before) if before else {}
        for place, file in places.items():
            if os.path.abspath(place) in found:
                known[os.path.abspath(file)] = found[os.path.abspath(place)]
    return known


def _unpacked(site: Path, revision: str, room: Path) -> Path:
    """Where the file of a site is once its folder as it was has been unpacked; a site names files below its folder only."""
    folder = site.resolve().parent
    top = Path(_git(folder, "rev-parse", "--show-toplevel").decode().strip())
    commit = _git(folder, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}").decode().strip()
    inside = folder.relative_to(top.resolve())
    target = room / f"{abs(hash(top)):x}"
    if not (target / inside / ".unpacked").exists():
        _unpack(top, commit, inside.as_posix(), target)
        (target / inside).mkdir(parents=True, exist_ok=True)
        (target / inside / ".unpacked").touch()
    return target / inside / site.name


def _unpack(top: Path, commit: str, inside: str, target: Path) -> None:
    """Unpack a folder of a commit; nothing where it was not there then."""
    if inside != "." and not _git(top, "ls-tree", "-d", "--name-only", commit, "--", inside):
        return
    data = _git(top, "archive", "--format=tar", commit, *([] if inside == "." else ["--", inside]))
    with tarfile.open(fileobj=io.BytesIO(data)) as packed:
        if hasattr(tarfile, "data_filter"):
            packed.extractall(target, filter="data")
        else:  # Python 3.11 before its fourth correction
            packed.extractall(target, [each for each in packed if each.isfile() or each.isdir()])


def _git(folder: Path, *words: str) -> bytes:
    try:
        done = subprocess.run(["git", "-C", str(folder), *words], capture_output=True, check=False, stdin=subprocess.DEVNULL)
    except FileNotFoundError:
        raise Refusal([Problem("git", "is not installed", "install it, or compare with a saved report")]) from None
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        what = said[-1] if said else "there is no such revision"
        raise Refusal([Problem(words[-1].removesuffix("^{commit}"), what, _RIGHT)])
    return done.stdout
