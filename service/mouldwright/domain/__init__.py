"""The trade itself: shops, parts, processes, stiffness, cost and price.

Pure: frozen values and functions over them. Nothing here reads a clock, a file,
a socket or a database.
"""
