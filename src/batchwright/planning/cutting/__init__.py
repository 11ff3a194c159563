"""The cutting list room: every kind, its sizes, its count, its order at each machine."""

from batchwright.planning.cutting.rough import SIXTEENTH
from batchwright.planning.cutting.rows import Request, list_parts
from batchwright.planning.cutting.verify import check_cutting_list

__all__ = ["SIXTEENTH", "Request", "check_cutting_list", "list_parts"]
