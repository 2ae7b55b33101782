"""What docs/benchmarks.md shows: the planner on instances of a reduced mould shop."""
