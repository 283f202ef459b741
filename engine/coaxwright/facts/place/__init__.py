"""Where devices stand and what they see: surroundings, views, screens."""
