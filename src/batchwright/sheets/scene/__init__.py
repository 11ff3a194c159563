"""Drawings as data: primitives at true millimetres, sheets as blocks."""
