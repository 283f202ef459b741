"""Model to one typed port graph: who hangs on which port, over which hops. No numbers, no judgement."""
