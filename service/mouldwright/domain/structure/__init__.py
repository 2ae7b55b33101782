"""What a part is made of, by process: each turns a part into stiffness and mass."""
