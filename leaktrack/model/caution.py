"""What can hurt somebody during this work."""

from enum import Enum


class Caution(Enum):
    """A hazard that a step or a place in the program warns of."""

    HOT_OIL = "hot_oil"
    USED_OIL = "used_oil"
    WASTE_OIL = "waste_oil"
    SOLVENT = "solvent"
    FUEL = "fuel"
    LIFTING = "lifting"
    BATTERY = "battery"
    REFRIGERANT = "refrigerant"
    COMPRESSED_AIR = "compressed_air"
    UV_LAMP = "uv_lamp"
    SEALANT_VAPOUR = "sealant_vapour"
