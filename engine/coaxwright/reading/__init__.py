"""From files to models: text with places, refusals, limits, part look-up. No graphs, facts or rules."""
