"""Disk: the project folder, atomic writes."""
