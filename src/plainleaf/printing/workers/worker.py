"""What runs in a press: sheets come in by a pipe, page numbers and files go out by another."""

from __future__ import annotations

import gc
import os
import pickle
import sys
from collections.abc import Mapping
from contextlib import suppress
from typing import IO

from plainleaf.printing.renderer.layout import Laid, Sheet, lay
from plainleaf.vocabulary.errors import PlainleafError

# How often to look for dead objects while pages are laid out and written: nearly all of them live
# until then. An eighth off the time. They are all looked for when the press may rest, or before a
# sheet of more than so many letters.
_SELDOM = (50_000, 20, 50)
_LONG = 20_000


def serve(*sibling: int) -> None:
    """A press's own loop, until its input ends.

    A sheet comes in and its page numbers go out; then either its late texts come in and the PDF
    goes out, or another sheet comes in because the pages are not to be kept. Where nothing comes
    in but None, there is time to clear up.

    Args:
        sibling: Where a second press reads and writes, which is forked when this one is warm.
    """
    incoming, outgoing = sys.stdin.buffer, sys.stdout.buffer
    import weasyprint  # noqa: F401  (the slow part of the start, done once and while nothing waits)

    gc.collect()
    gc.freeze()  # what is loaded stays
    if sibling and os.fork() == 0:
        # The first press's ends must not be held open here: it would be waited for when it is gone.
        nowhere = os.open(os.devnull, os.O_RDWR)
        for own in (incoming, outgoing):
            os.dup2(nowhere, own.fileno())
        incoming, outgoing = os.fdopen(sibling[0], "rb"), os.fdopen(sibling[1], "wb")
    else:
        for end in sibling:
            os.close(end)
    with suppress(BrokenPipeError):
        _work(incoming, outgoing)


def _work(incoming: IO[bytes], outgoing: IO[bytes]) -> None:
    gc.set_threshold(*_SELDOM)
    laid: Laid | None = None
    while True:
        try:
            asked: Sheet | Mapping[str, str] | None = pickle.load(incoming)
        except EOFError:
            return
        if isinstance(asked, Sheet):
            laid = None
        if asked is None or (isinstance(asked, Sheet) and len(asked.html) > _LONG):
            gc.collect()
        try:
            if isinstance(asked, Sheet):
                laid = lay(asked)
                send(outgoing, (laid.pages, dict(laid.anchors)))
            elif asked is not None:
                assert laid is not None
                laid.finish(asked)
                send(outgoing, laid.pdf().data)
                laid = None
        except PlainleafError as error:
            send(outgoing, error)


def send(stream: IO[bytes], message: object) -> None:
    """Put a message into a pipe whole."""
    pickle.dump(message, stream)
    stream.flush()
