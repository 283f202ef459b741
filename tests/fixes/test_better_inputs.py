"""A camera on an input that makes less of its picture is moved to one that makes more of it, where there is one.

Which recorder has which inputs is invented; that plugs are moved before cameras are bought is common practice.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from coaxwright import fix

EIGHT = {"family": "tvi", "mode": "3840x2160@15"}
TWO = {"family": "tvi", "mode": "1920x1080@30"}


def camera(*emits: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"kind": "camera", "source": "s", "emits": list(emits), "starts_as": emits[0], "switched_by": [], **more}


def recorder(best: Any, rest: Any, encodes: list[dict[str, Any]]) -> dict[str, Any]:
    inputs = [{"channels": "1-2", "accepts": best}, {"channels": "3-16", "accepts": rest}]
    return {"kind": "recorder", "source": "s", "inputs": inputs, "encodes": encodes, "encodes_total": "5000 Mpx/s"}


ALL = [{"up_to": "3840x2160", "rate": "30 fps"}]
HALF = [EIGHT | {"width": "reduced"}, TWO]
FAST_ON_TWO = [{"up_to": "1920x1080", "rate": "30 fps", "channels": "1-2"}, {"up_to": "1920x1080", "rate": "10 fps"}]
WHOLE_ON_TWO = [{"up_to": "1280x720", "rate": "30 fps"}, {"up_to": "3840x2160", "rate": "30 fps", "channels": "1-2"},
                {"up_to": "3840x2160", "rate": "30 fps", "width": "reduced"}]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "level", "made", "wants"),
    [
        ("picture/full-width-wanted", "error", recorder([EIGHT, TWO], HALF, ALL), {"full_width": True}),
        ("signal/reduced-width", "warning", recorder([EIGHT, TWO], HALF, ALL), {}),
        ("picture/rate-below-wanted", "error", recorder([EIGHT, TWO], [EIGHT, TWO], FAST_ON_TWO), {"rate": "25 fps"}),
        ("picture/stored-at-half-width", "warning", recorder([EIGHT, TWO], [EIGHT, TWO], WHOLE_ON_TWO), {}),
    ],
)
@pytest.mark.parametrize("free", [True, False])
def test_a_better_input_is_offered_first(
    rule: str, level: str, made: dict[str, Any], wants: dict[str, Any], free: bool, tmp_path: Path
) -> None:
    """Free, or held by cameras that lose nothing on the other kind; of a kind one input is offered, and none like the present."""
    kind = camera(TWO) if rule == "picture/rate-below-wanted" else camera(EIGHT)
    held = camera({"family": "tvi", "mode": "1280x720@10"})
    rows = [*made["inputs"]]
    for group in rows:
        group["accepts"] = [*group["accepts"], {"family": "tvi", "mode": "1280x720@10"}]
    parts = {"a/eight": kind, "a/small": held, "b/rec": made | {"inputs": rows}}
    (tmp_path / "p.yaml").write_text(json.dumps({"parts": parts}))
    run = [{"cable": "rg6-copper", "length": "30 m"}]
    others = {} if free else {n: {"part": "a/small", "video": {"into": f"r/{n[1]}", "over": run}} for n in ("s1", "s2")}
    cameras = {"c": {"part": "a/eight", "video": {"into": "r/9", "over": run}, "wants": wants}, **others}
    site = {"site": "x", "video_rate": 30, "parts": ["p.yaml"], "recorders": {"r": {"part": "b/rec"}}, "cameras": cameras}
    path = tmp_path / "x.site.yaml"
    path.write_text(json.dumps(site))
    found = [each for each in fix(path, level=level).advice if each.finding.key == (rule, "cameras/c")]
    titles = [each.title for each in found[0].fixes]
    first = "move c to r/1" if free else "let c and s1 change inputs (r/9 and r/1)"
    assert titles[0] == first, titles
    assert not any(f"r/{number}" in title.replace("r/9 and", "") for title in titles for number in range(2, 17) if free)
