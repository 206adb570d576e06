"""Puts files into a folder, all or none, whatever moment the program is stopped in.

A folder that holds nothing but what is replaced changes places, whole, with a new one. Any other
folder gets its files one by one, under a notice and with a list by which the next run ends what
was begun. Who delivers says which files of the folder are its own; no other is touched.
"""

from plainleaf.packet.delivery.disk import replace_file
from plainleaf.packet.delivery.into_folder import Ownership, deliver, look_into, settle
from plainleaf.packet.delivery.packet_owner import PACKET, packet_ownership

__all__ = [
    "PACKET",
    "Ownership",
    "deliver",
    "look_into",
    "packet_ownership",
    "replace_file",
    "settle",
]
