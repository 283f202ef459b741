"""Papers and keys as files: one module a format. A paper's writer is never given the key."""
