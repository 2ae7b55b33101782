"""The judge of every plan, written from the rules alone; it shares no code with the planner."""
