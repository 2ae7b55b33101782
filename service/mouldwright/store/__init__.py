"""The store: what a shop wants remembered, in SQLite or PostgreSQL.

Rows stay in here; what goes out is a value of the domain or of a use case.
"""
