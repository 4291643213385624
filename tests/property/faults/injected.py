"""One fault put into a clean assembly, for every code that stops or asks to check.

Each function changes the assembly at one spot and gives the names of the holes where
exactly this code must stand; nothing else may stop or ask to be checked.
"""

from tests.property.faults import lengths, spots, stacks
from tests.property.faults.drawing_office import FAULTS

__all__ = ["FAULTS", "lengths", "spots", "stacks"]
