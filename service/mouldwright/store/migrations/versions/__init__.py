"""One step each, in the order of their numbers."""
