"""What a page asks of its session, in process: an act, a view."""

from __future__ import annotations

import json
from typing import Any

from coaxwright.desk.session import Session


def ask(session: Session, do: str, **rest: Any) -> dict[str, Any]:
    """The answer to an act, as the page reads it."""
    answer: dict[str, Any] = json.loads(session.replied(json.dumps({"id": 1, "do": do, **rest}).encode()))
    return answer


def room(session: Session, at: str) -> str:
    """The HTML of the view at an address."""
    answer = ask(session, "look", view={"at": at})
    assert answer["ok"], answer
    return str(answer["fragments"]["room"]["html"])
