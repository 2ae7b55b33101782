"""What happened at the bench and was measured there, and what follows: ledgers, serials, bends."""
