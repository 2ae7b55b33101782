"""What would change the answer: how far each number must move until another process wins."""
