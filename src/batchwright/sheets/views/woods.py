"""What colour a wood is shown in. Heartwood, freshly oiled, by eye and from memory: no two boards are alike."""

from __future__ import annotations

from batchwright.sheets.scene.body import Colour
from batchwright.sheets.views.printing import wood_name

TONES: dict[str, tuple[int, int, int]] = {
    "ash": (222, 200, 165),
    "beech": (214, 174, 132),
    "birch": (226, 199, 158),
    "cedar": (178, 112, 78),
    "cherry": (176, 104, 66),
    "chestnut": (184, 142, 96),
    "cypress": (212, 172, 116),
    "fir": (214, 156, 104),
    "hickory": (196, 152, 108),
    "ipe": (104, 76, 54),
    "iroko": (168, 122, 68),
    "jatoba": (148, 78, 52),
    "khaya": (170, 102, 72),
    "larch": (206, 148, 96),
    "locust": (190, 156, 86),
    "mahogany": (156, 84, 58),
    "maple": (232, 210, 176),
    "merbau": (126, 72, 46),
    "oak": (198, 160, 110),
    "osage": (212, 154, 54),
    "pine": (230, 198, 140),
    "poplar": (200, 190, 142),
    "redwood": (160, 82, 58),
    "robinia": (190, 156, 86),
    "sapele": (146, 78, 54),
    "sassafras": (190, 158, 106),
    "teak": (176, 124, 70),
    "walnut": (106, 74, 52),
}
"""sRGB, 0 to 255."""
PLAIN = (200, 166, 120)


def wood_colour(key: str) -> Colour:
    """The colour of a wood, named after it."""
    words = key.replace("_", " ").replace("-", " ").lower()
    tone = next((TONES[word] for word in sorted(TONES) if word in words), PLAIN)
    return Colour(name=wood_name(key), rgb=(tone[0] / 255.0, tone[1] / 255.0, tone[2] / 255.0))
