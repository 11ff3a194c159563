"""Solid stock: parts and joints made into solids, their meetings and their views. The CAD kernel enters here only."""
