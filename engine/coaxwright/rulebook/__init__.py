"""Rules as data, written in the rule language (`language`): loading, judging, cases, pages.

Nothing is imported here, so that a command pays only for the parts it uses.
"""

from __future__ import annotations
