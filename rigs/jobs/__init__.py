"""Long work: rows that a worker claims, does, and finishes once. See record 0008."""
