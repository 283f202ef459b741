"""The project file: what the options of commands are where a call does not give them, for all sites below its folder."""

import datetime
from typing import Literal

from pydantic import Field

from coaxwright.model.common import Strict


class Project(Strict):
    """Settings of a project. What a call says itself wins."""

    rules: tuple[str, ...] = Field(
        (), description="Folders of rules to use besides those of the program, below this file's folder."
    )
    parts: tuple[str, ...] = Field(
        (), description="Part files for questions about devices, as paths or globs below this file's folder; sites name theirs."
    )
    prices: tuple[str, ...] = Field(
        (),
        description="Price files of the house, as paths or globs below this file's folder: for sites that name none, and for "
        "questions about devices.",
    )
    fail_on: Literal["error", "warning", "note", "never"] | None = Field(
        None, description="The least level of finding that gives `check` exit status 1."
    )
    strict: bool | None = Field(None, description="Whether `check` ends with status 3 when something stayed open.")
    today: datetime.date | None = Field(None, description="The day by which waivers are judged, as in 2026-12-01.")
    jobs: int | None = Field(None, ge=1, le=64, description="Processes that `check` spreads many sites over.")
    baseline: str | None = Field(
        None, max_length=512, description="What `check` compares with, a path below this file's folder; see --baseline."
    )
