"""The counter: will their camera work on this recorder? Answers of `pairing` over one catalogue, for a page."""
