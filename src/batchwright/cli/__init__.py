"""The command line: prints."""
