"""Planning from what really happened: the log read as tasks done, losses and a shop as it stands.

Nothing here decides anything; the planner keeps what is read here as it keeps what is under way.
"""
