"""Rows to values and back. A repository is opened for one shop and sees no other's rows."""
