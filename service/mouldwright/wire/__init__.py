"""The contract: models shared by scenario files, command line and, later, the API."""
