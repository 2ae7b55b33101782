"""The command line: thin, one use case a command."""
