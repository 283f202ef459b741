"""The drawing of a site: a plan of devices and lines, its layout in points, and the same as SVG and as a table."""
