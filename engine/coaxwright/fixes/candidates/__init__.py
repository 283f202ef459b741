"""Candidate edits, one module per topic: what could be changed about a finding. Nothing here is proven."""
