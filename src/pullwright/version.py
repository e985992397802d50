"""Which version this is; apart, so that rooms can ask for it without all that the package offers."""

__version__ = "0.1.0"
