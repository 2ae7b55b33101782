"""What is likely to come of a plan: its tasks taken again and again with times and yields drawn.

Outcomes are drawn first, then a plan is walked for all runs at once; nothing here improves a plan.
"""
