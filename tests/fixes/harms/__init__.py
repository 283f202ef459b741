"""Random faulty sites, and every shown change carried out and judged from outside."""
