"""The command `plainleaf build`: the packet of a patient file."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import decided, places_of
from plainleaf.cli.report_data import FORMAT, written_data
from plainleaf.cli.streams import complain, print_json, say
from plainleaf.packet import build
from plainleaf.packet.delivery import deliver, look_into, packet_ownership
from plainleaf.packet.papers import files_for
from plainleaf.packet.record import review_data
from plainleaf.packet.record.packet_digests import person_digest
from plainleaf.packet.record.replaces import replacing
from plainleaf.rules.findings import Finding
from plainleaf.teach_back.record_owner import FILES


def run(arguments: argparse.Namespace) -> int:
    """Build and write; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    places, decision = places_of(arguments), decided(arguments)
    if decision.stopped:
        return _blocked(decision.findings, as_data=arguments.json)
    owned = packet_ownership(person_digest(decision.patient), FILES)
    look_into(arguments.out, owned)
    remarks = []
    if arguments.replaces is not None:
        decision, says = replacing(decision, arguments.replaces, places.templates)
        remarks.append(says)
    arguments.progress("laying out and checking the pages")
    packet = build.build(decision, places, arguments.workers, more=arguments.more)
    deliver(packet.files, arguments.out, owned)
    remarks += screen_text.delivery_remarks(decision)
    remarks += packet.untidy
    if arguments.json:
        print_json(written_data(packet.files, arguments.out, remarks))
    else:
        files = files_for(decision.inputs.handout_languages, more=arguments.more)
        readers = {name: kind.reader for name, kind, _ in files}
        say(screen_text.written(readers, arguments.out))
        say(remarks)
    return 0


def _blocked(findings: Sequence[Finding], *, as_data: bool) -> int:
    """Nothing was written: what blocks the packet."""
    blocking = [finding for finding in findings if finding.blocks]
    if as_data:
        rows = [review_data.finding_data(finding) for finding in blocking]
        print_json({"format": FORMAT, "written": False, "findings": rows})
    else:
        complain(screen_text.blocked(blocking))
    return 1
