"""Scenario files in, shop out, and back."""
