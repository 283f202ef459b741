"""One camera on one input: what it sends, what the way carries, what both settle on and what is stored of it."""
