"""The version of the program, as the package and every document give it."""

__version__ = "0.1.0"
