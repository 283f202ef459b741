"""What the browser is given: a frame, a script, a stylesheet, an icon."""
