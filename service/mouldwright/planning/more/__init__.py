"""What one more of something would buy: the shop changed in one thing, and planned again.

Changes are shops; trials plan many shops side by side; nothing here improves a plan itself.
"""
