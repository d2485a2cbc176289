"""Seamwright: which clamp stack may carry solar modules on this metal seam roof, and why."""

__version__ = "0.1.0"
__all__ = ["__version__"]
