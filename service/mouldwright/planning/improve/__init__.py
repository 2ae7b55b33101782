"""The search for a better plan: the dispatch run again and again under changed preferences."""
