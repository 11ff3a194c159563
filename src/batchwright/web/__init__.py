"""The page: thin routes."""
