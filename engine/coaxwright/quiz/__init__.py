"""Question papers whose answers are computed by the same engine that checks sites, never typed."""
