"""A part: its shape, what it must bear, how it bends, what it weighs."""
