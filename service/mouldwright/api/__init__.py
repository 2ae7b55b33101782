"""The service over HTTP: parse, ask a use case, show what it answers; nothing else."""
