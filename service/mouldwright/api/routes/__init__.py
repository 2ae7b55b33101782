"""One module a noun. Each has a ``router``; ``api.app`` lists them."""
