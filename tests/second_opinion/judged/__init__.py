"""Second verdicts: every rule once more, as plain Python over the opinion's facts, by topic.

Each is a function of the facts of one subject and gives `pass`, `fail`, `open` or `not-applicable`. Limits are written
out again from the rules' pages. `RULES` maps a rule's id to the kind that it judges and its function.
"""

from __future__ import annotations

from . import cables, coppers, devices, networks, pictures, places, power_lines, standbys, storage, supplies, views

RULES = {}
for _topic in (cables, coppers, devices, networks, pictures, places, power_lines, standbys, storage, supplies, views):
    RULES.update(_topic.RULES)
