"""Letters that print, and that the finished print gives back as they were typed.

The packet's fonts draw more: a joined ff comes back as two letters, a hyphen of its own kind as the
usual one. `test_printable.py` prints every letter of the fonts and holds this list against it.
"""

from __future__ import annotations

# Ranges of code points of Unicode, in hexadecimal; spaces print besides.
_RANGES = """
21-7E A1-AC AE-181 186 18A 18D-190 192-194 196-197 19A-19B 19E 1A0-1A1 1AF-1B1 1B7 1BF-1C3
1CD-1DD 1E2-1E7 1EA-1EB 1EE-1F0 1F4-1F5 1F7-201 204-205 208-209 20C-20D 218-220 222-223 226-227
237 23A-23E 241-245 248-249 250-27B 27D-285 287-292 294-295 298-299 29B-29F 2A1-2A8 2B0-2B4
2B7-2B9 2BB-2C1 2C6-2CC 2D0-2D1 2E0-2E4 300-30D 30F-313 315 318-320 323-32A 32C 32E-332 334
337-33D 342 344-345 357-358 35C 35E-35F 361 374 37A 37E 386-38A 38C 38E-3A1 3A3-3BB 3BD-3D1 3D7
3D9 3DB 3DD 3E1 3F4 3F7-3F8 400-45F 462-463 472-475 490-493 496-49B 4A0-4A3 4AA-4AB 4AE-4B3
4B6-4B7 4BA-4BB 4C0-4C4 4C7-4C8 4CF-4D1 4D4-4D9 4E2-4E3 4E6-4E9 4EE-4EF 4F2-4F3 4F6-4F7 60C 615
61B 61F 621-63A 640-658 660-671 674 679 67E 686 688 691 698 6A1 6A4 6A9 6AF 6BA 6BE 6C1 6C3 6CC
6D2 6D4 6F0-6F9 1D25 1D2C 1D2E 1D30-1D31 1D33-1D3A 1D3C 1D3E-1D43 1D47-1D4B 1D4D 1D4F-1D52
1D56-1D58 1D5B 1D6F-1D70 1D79 1D7B 1D7F 1D9C 1DA0 1DAC 1DAE 1DB0 1DBB 1DBF 1DCD 1E02-1E03
1E06-1E07 1E0A-1E11 1E16-1E17 1E1E-1E2B 1E32-1E3B 1E3E-1E49 1E52-1E53 1E56-1E63 1E66-1E67
1E6A-1E6F 1E72-1E73 1E7E-1E85 1E8E-1E97 1E9E-1EF9 1F00-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D
1F50-1F57 1F59 1F5B 1F5D 1F5F-1F7D 1F80-1FB4 1FB6-1FBC 1FBE 1FC2-1FC4 1FC6-1FCC 1FD0-1FD3
1FD6-1FDB 1FE0-1FEC 1FF2-1FF4 1FF6-1FFC 2012-201E 2020-2023 2026 2030-2033 2035 2039-203A
203C-203F 2044 2047-204A 2070-2071 2074-208E 20A1 20A3-20A4 20A6-20A7 20A9 20AB-20AC
20AE 20B1-20B2 20B4-20B5 20B8-20BA 20BD 2113 2150-215E 2189 2190-2194 21D2 2200 2202-2203 220F
2211-2212 2215 2219-221A 221E-221F 2229 222B 2236-2237 2248 2260-2261 2264-2265 2320-2321 25B7
25C1 27E6-27E9 2C60-2C62 2C65-2C66 2C71 2C7D 2E18 2E22-2E25 2E3A-2E3B 2E52 A71C A722-A725
A74E-A74F A75A-A75B A764-A765 A779-A787 A7AD-A7AE A7B3 A7B5 A7F2-A7F4 AB53 AB66-AB67 FD3E-FD3F
"""


def _points(part: str) -> range:
    first, _, last = part.partition("-")
    return range(int(first, 16), int(last or first, 16) + 1)


PRINTABLE = frozenset(chr(point) for part in _RANGES.split() for point in _points(part))


def unprintable(text: str) -> tuple[str, ...]:
    """Letters of a text that cannot be printed, each once, in order.

    >>> unprintable("Ana Ni\u00f1o-Lee")
    ()
    >>> unprintable("Lee \N{GRINNING FACE}") == ("\N{GRINNING FACE}",)
    True
    """
    return tuple(dict.fromkeys(c for c in text if c not in PRINTABLE and not c.isspace()))


def named(letters: tuple[str, ...]) -> str:
    """Letters with their numbers, for a message.

    >>> named(("\u2011",))
    '\u2011 (U+2011)'
    """
    return " ".join(f"{letter} (U+{ord(letter):04X})" for letter in letters)
