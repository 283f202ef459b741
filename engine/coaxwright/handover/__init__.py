"""The hand-over: what is ordered, pulled, labelled, measured and kept, worked out from a site that was checked."""
