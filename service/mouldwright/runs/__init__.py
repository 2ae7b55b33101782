"""Long work beside the server: a worker that takes runs up, and the process it lives in.

A run is leased, not owned: while its worker lives the lease is renewed, and when the worker
is lost the next one takes the run up again.
"""
