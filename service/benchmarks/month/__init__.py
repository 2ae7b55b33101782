"""A month at a bench, lived day by day through the service as anyone outside would use it."""
