"""Batchwright: from a maker's full-size drawing to a short run of solid-wood furniture.

    import batchwright

    table = batchwright.open("my-table/hall-table.job.yaml")
    wider = table.change({"width": "48"})
    wider.plan().write("out")

Names are fetched when they are first used, so that the import costs nothing. Their types stand in `__init__.pyi`.
"""

from importlib import import_module as _import_module

__version__ = "0.1.0"

_NAMES = {
    "Drawing": ("batchwright.app.opened", "Drawing"),
    "Fault": ("batchwright.base.fault", "Fault"),
    "Finding": ("batchwright.base.finding", "Finding"),
    "InputError": ("batchwright.app.input_error", "InputError"),
    "Opened": ("batchwright.app.opened", "Opened"),
    "Plan": ("batchwright.app.opened", "Plan"),
    "Size": ("batchwright.app.sized", "Size"),
    "open": ("batchwright.app.opened", "open_piece"),
}

__all__ = ["__version__", *sorted(_NAMES)]


def __getattr__(name: str) -> object:
    if name not in _NAMES:
        raise AttributeError(f"module 'batchwright' has no attribute '{name}'")
    module, inside = _NAMES[name]
    return getattr(_import_module(module), inside)


def __dir__() -> list[str]:
    return __all__
