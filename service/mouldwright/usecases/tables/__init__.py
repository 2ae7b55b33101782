"""Every table that is handed out to be worked on elsewhere.

A table is its columns, which keep their names, and its rows; how it is written is no matter here.
"""
