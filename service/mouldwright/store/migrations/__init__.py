"""How the tables came to be: Alembic's steps, shipped in the package and run at start."""
