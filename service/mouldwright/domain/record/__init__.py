"""What was measured at the bench, and what the shop learns from it: bends, weights, samples."""
