"""What was promised: quotes in revisions, orders booked from them, and what a change is worth.

Values and rules only; that a promise is kept for good is the store's part.
"""
