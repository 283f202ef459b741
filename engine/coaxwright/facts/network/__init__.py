"""What is not coax: network cameras, switches, serial lines and shared jackets."""
