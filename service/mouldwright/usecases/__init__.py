"""The verbs: each answers one question a person at the bench asks, whatever the face.

Use cases join the domain and the planner; they know no file, socket or screen.
"""
