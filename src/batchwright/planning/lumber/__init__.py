"""The lumber room: which boards, where each blank lies, what is not covered."""

from batchwright.planning.lumber.buying import Purchase, buying_estimate
from batchwright.planning.lumber.plan import LumberRequest, plan_lumber
from batchwright.planning.lumber.solve import QUICK, Stop
from batchwright.planning.lumber.verify import Cuts, check_layout

__all__ = ["QUICK", "Cuts", "LumberRequest", "Purchase", "Stop", "buying_estimate", "check_layout", "plan_lumber"]
