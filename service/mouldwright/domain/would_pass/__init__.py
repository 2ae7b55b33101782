"""What would make a failing process pass: one lever at a time, the least change that does."""
