"""Many sites: a line of JSON each, what they come to together, and what is new since they were judged before."""

from __future__ import annotations

from coaxwright.estate.journal import write_lines
from coaxwright.estate.lines import AHEAD, Job, Line, job_of, lines_over, site_batch, site_line, site_lines

__all__ = ["AHEAD", "Job", "Line", "job_of", "lines_over", "site_batch", "site_line", "site_lines", "write_lines"]
