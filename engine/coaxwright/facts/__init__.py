"""Numbers and verdicts about a site that no one typed: pure physics, its binding to the graph, and the fact sheets."""
