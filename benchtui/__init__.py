"""benchtui: a keyboard bench for second-hand record dealers."""

__version__ = "0.2.0"
