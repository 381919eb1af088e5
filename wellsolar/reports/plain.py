"""Text that is safe to print: no control characters, and ASCII where nothing else gets through."""

from __future__ import annotations

import unicodedata

_ASCII = {
    "°F": "degF",
    "°C": "degC",
    "°": " deg",
    "µ": "u",
    "\N{OHM SIGN}": "ohm",
    "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{MIDDLE DOT}": "*",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{MINUS SIGN}": "-",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "ß": "ss",
    "æ": "ae",
    "Æ": "AE",
    "ø": "o",
    "Ø": "O",
    "ł": "l",
    "Ł": "L",
}


def plain(text: str) -> str:
    """A text on one line, with nothing in it that could steer a terminal.

    Returns:
        the text with each line break a space and each other control character a "?"
    """
    if text.isprintable():  # as nearly all are: a letter at a time they take twenty times as long
        return text
    joined = " ".join(text.split()) if any(mark in text for mark in "\r\n\t") else text
    return "".join("?" if unicodedata.category(mark) in _UNSAFE else mark for mark in joined)


def as_sentence(text: str, subject: str = "") -> str:
    """A text with a capital and a stop.

    Parameters:
        subject: the name of what is judged, which keeps its case at the beginning, as a key does
    """
    first = text.split(" ", 1)[0].rstrip(",;:")
    if first.isalpha() and not (subject and text.startswith(subject)):
        text = text[:1].upper() + text[1:]
    return ended(text)


def ended(text: str) -> str:
    """A text with a stop at its end."""
    return text if text.endswith((".", "?", "!", ":")) else f"{text}."


def plain_lines(text: str) -> str:
    """A text of several lines, with nothing in any of them that could steer a terminal.

    Parameters:
        text: any text; only line feeds part its lines
    Returns:
        the lines, each as of `plain`
    """
    return "\n".join(map(plain, text.split("\n")))


# Controls, marks that turn the direction of writing, halves of broken characters, line ends.
_UNSAFE = ("Cc", "Cf", "Cs", "Zl", "Zp")


def encodable(text: str, encoding: str) -> str:
    """A text as an encoding can write it.

    Parameters:
        encoding: a codec's name, such as the encoding of a stream
    Returns:
        the text itself, or else its nearest ASCII: accents dropped, what has none a "?"
    """
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return _ascii(text)
    return text


def _ascii(text: str) -> str:
    for mark, instead in _ASCII.items():
        text = text.replace(mark, instead)
    apart = unicodedata.normalize("NFKD", text)
    kept = "".join(mark for mark in apart if not unicodedata.combining(mark))
    return kept.encode("ascii", "replace").decode("ascii")
