# The public names with their types; __init__.py imports each of them only when it is asked for.
from coaxwright.api.changes import Fixed as Fixed
from coaxwright.api.changes import Limits as Limits
from coaxwright.api.changes import Repaired as Repaired
from coaxwright.api.changes import WhatIf as WhatIf
from coaxwright.api.changes import fix as fix
from coaxwright.api.changes import limits as limits
from coaxwright.api.changes import repair as repair
from coaxwright.api.changes import what_if as what_if
from coaxwright.api.checks import Checked as Checked
from coaxwright.api.checks import check as check
from coaxwright.api.comparisons import Compared as Compared
from coaxwright.api.comparisons import compare as compare
from coaxwright.api.pairs import Paired as Paired
from coaxwright.api.pairs import pair as pair
from coaxwright.api.papers import Quiz as Quiz
from coaxwright.api.papers import quiz as quiz
from coaxwright.api.proposals import Proposed as Proposed
from coaxwright.api.proposals import propose as propose
from coaxwright.api.results import Result as Result
from coaxwright.api.sites import AnyRules as AnyRules
from coaxwright.api.sites import AnySite as AnySite
from coaxwright.api.sites import load_site as load_site
from coaxwright.api.sites import load_text as load_text
from coaxwright.checking import LoadedSite as LoadedSite
from coaxwright.checking import Rulebook as Rulebook
from coaxwright.checking import check_many as check_many
from coaxwright.checking import load_rulebook as load_rulebook
from coaxwright.errors import Problem as Problem
from coaxwright.errors import Refusal as Refusal
from coaxwright.findings import Finding as Finding
from coaxwright.findings import Fix as Fix
from coaxwright.findings import Report as Report
from coaxwright.findings import SiteReport as SiteReport

__version__: str
