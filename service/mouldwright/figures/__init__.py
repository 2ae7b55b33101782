"""Figures: one function a drawing or chart, plain data in, SVG text out, for pages and documents.

What draws belongs here, and the look it draws in. What is drawn comes in as plain values; only
the modules named ``…_of`` know how a part, process or plan becomes one of them.
"""
