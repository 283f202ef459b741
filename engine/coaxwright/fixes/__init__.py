"""Changes to a site: candidates, their proof by judging again, whole-site repair, limits, what-if, writing."""
