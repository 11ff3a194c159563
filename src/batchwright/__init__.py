"""Batchwright: from a maker's full-size drawing to a short run of solid-wood furniture."""

__version__ = "0.1.0"
