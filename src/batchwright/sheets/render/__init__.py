"""Scenes made into SVG, DXF and PDF."""
