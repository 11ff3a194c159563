"""The catalog: every formula and table of the handbook by name, with parameters, limits and sources.

It takes values already in house units and says for each parameter what kind of value it expects.
"""

from batchwright.handbook.catalog.entry import Answer, Entry, Kind, Parameter, Result
from batchwright.handbook.catalog.evaluate import entries, evaluate, find_entry

__all__ = ["Answer", "Entry", "Kind", "Parameter", "Result", "entries", "evaluate", "find_entry"]
