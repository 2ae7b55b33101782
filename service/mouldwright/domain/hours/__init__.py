"""When the shop, a person or a station is open, and working-time arithmetic on it."""
