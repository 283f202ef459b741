"""What the checker of a certificate takes for standing in the way. Source: docs/fixes.md, on certificates."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.fixes.replaying import Replay, read_certificate

KEY = ("power/collapse", "cameras/c1")


def finding(kind: str, level: str = "error") -> Any:
    return SimpleNamespace(kind=kind, level=level)


@pytest.mark.parametrize(
    ("was", "now", "stands"),
    [
        (None, None, False),  # it was not there and is not
        (finding("fail"), None, True),  # gone with its subject: only the entries of the site can tell
        (None, finding("fail"), True),
        (finding("open"), finding("fail"), True),
        (finding("fail"), finding("fail"), True),
        (None, finding("open"), True),  # newly open
        (finding("fail"), finding("open"), True),
        (finding("open"), finding("open"), False),  # it was open before
        (None, finding("fail", "warning"), False),  # below what counts
    ],
)
def test_what_stands_in_the_way(was: Any, now: Any, stands: bool) -> None:
    of = SimpleNamespace(before={} if was is None else {KEY: was}, counted=("error",))
    assert Replay._in_the_way(of, KEY, now) is stands  # type: ignore[arg-type]


WRONG = [
    ({"level": "error", "bound": 1.0, "changes": [], "cuts": {}}, "`cuts`: input should be a valid list"),
    ({"level": "grave", "bound": 1.0, "changes": [], "cuts": []}, "`level`: input should be 'error', 'warning' or 'note'"),
]


@pytest.mark.parametrize(("made", "told"), WRONG)
def test_a_certificate_that_is_none_is_told_where_it_is_wrong(made: dict[str, Any], told: str, tmp_path: Path) -> None:
    file = tmp_path / "certificate.json"
    file.write_text(json.dumps(made), encoding="utf-8")
    with pytest.raises(Refusal) as refused:
        read_certificate(file)
    assert told in str(refused.value)


def test_an_empty_certificate_names_no_change(tmp_path: Path) -> None:
    file = tmp_path / "certificate.json"
    file.write_text(json.dumps({"level": "error", "bound": None, "changes": [], "cuts": []}), encoding="utf-8")
    assert read_certificate(file).changes == []
