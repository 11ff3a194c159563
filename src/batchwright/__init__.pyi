from batchwright.app.input_error import InputError as InputError
from batchwright.app.opened import Drawing as Drawing
from batchwright.app.opened import Opened as Opened
from batchwright.app.opened import Plan as Plan
from batchwright.app.opened import open_piece as open
from batchwright.app.sized import Size as Size
from batchwright.base.fault import Fault as Fault
from batchwright.base.finding import Finding as Finding

__all__ = ["Drawing", "Fault", "Finding", "InputError", "Opened", "Plan", "Size", "__version__", "open"]

__version__: str
