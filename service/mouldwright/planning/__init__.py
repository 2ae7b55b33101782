"""Who does what, when, on which mould: planning in stages.

Problem, construct, bound, improve, check: each in a file of its own, each fed by the
one before. The checker shares no code with the others.
"""
