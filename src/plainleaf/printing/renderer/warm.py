"""Loads the renderer when it is imported, for the process that workers are forked from."""

from contextlib import suppress

from plainleaf.printing.renderer.engine import load
from plainleaf.vocabulary.errors import RenderError

with suppress(RenderError):  # a worker says so when it is asked for pages
    load()
