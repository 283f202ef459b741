"""Pictures of numbers as plain SVG: a frame with scales, and one module for each kind of picture. No plotting library."""
