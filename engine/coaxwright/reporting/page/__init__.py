"""The report as one page: gathers what a site says of itself, draws it, and lays it out. `html` is the entry."""
