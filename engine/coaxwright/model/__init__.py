"""All that a person writes, as typed models: sites, parts, rules and cases; the only source of schemas/."""
