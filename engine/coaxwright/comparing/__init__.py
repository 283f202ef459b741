"""Two versions of a site side by side: parts, runs, facts and findings that differ."""
