"""What could be wrong on a site that stands: causes that explain what is seen, and what to measure next."""
