"""The names that ``import risk`` offers, loaded when one is asked for.

Not before: whatever a program imports of this package runs its ``__init__`` first, and the command
must be able to say that it was stopped (see `risk.__main__`) while the rest is being loaded.
"""

from __future__ import annotations


def __getattr__(name: str) -> object:
    """Return what the package offers as `name`; raises AttributeError where it is nothing."""
    import risk

    if name not in risk.__all__:
        raise AttributeError(f"module 'risk' has no attribute {name!r}")
    from risk import actions, notebook

    return getattr(notebook if hasattr(notebook, name) else actions, name)


def __dir__() -> list[str]:
    import risk

    return sorted({*vars(risk), *risk.__all__})
