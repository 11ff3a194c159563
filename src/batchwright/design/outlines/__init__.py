"""Outlines out of drawing files: what a DXF or SVG holds, and the one closed loop of it."""
