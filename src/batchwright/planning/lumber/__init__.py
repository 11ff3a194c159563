"""The lumber room: which boards, where each blank lies, what is not covered."""

from batchwright.planning.lumber.plan import LumberRequest, plan_lumber
from batchwright.planning.lumber.solve import Stop
from batchwright.planning.lumber.verify import Cuts, check_layout

__all__ = ["Cuts", "LumberRequest", "Stop", "check_layout", "plan_lumber"]
