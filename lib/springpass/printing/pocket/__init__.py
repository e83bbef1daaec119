"""The pocket card: one page as one file for a phone."""

from .card import LIMIT, Made, make, save, told, unpacked

__all__ = ["LIMIT", "Made", "make", "save", "told", "unpacked"]
