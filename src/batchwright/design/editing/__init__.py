"""Changing the maker's text: only the characters that a change is about are touched; every other byte stays."""
