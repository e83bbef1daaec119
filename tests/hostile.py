"""Hostile input: what people can type, choose and load that makes no sense, and what counts as having been heard.

The rule: an answer that a reader can use, or a refusal that was meant: a `Refused` raised by a check, with no other
exception as its cause. Anything else (a KeyError, a numpy error) is an error of the library and fails the test as it
is, with its traceback.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from springpass.core.quantity import Refused

# typed into the box of a slider: none of them is a number in any unit
NO_NUMBERS = ["", " ", "rubbish", "nan", "inf", "-inf", "1e400", "12 furlong", "1,234.5", "1.234,5", "1,2,3",
              "9" * 3000, "<b>x</b>", "\x00", "🙂", "12 5 7", "0x10", "1/0", "--5", "5 kg kg", "\ud800", "½½"]

# typed into a box for text
WRITTEN = ["", " ", "nan", "inf -inf", "-5", "1e400", "12,5", "1.234,5", "٣ 𝟓 ½", "12\u2009500", "🙂",
           "x" * 15000, "1;2;3", "0 0\n0 0\n0 0", "<script>", "\x00", "1 2 3\n" * 800, "=1+1", "h6", "H7/h6",
           "M18x1", "None", "[]", "-1 2\n2 3", "20 20,001 19,999", "../../etc", "9" * 5000, "\ud800"]

# loaded as a file
FILES = [b"", b"\x00", b"\xff\xfe\x00", b"RIFF", b"RIFF\x24\x00\x00\x00WAVEfmt ", b"{}", b"name = ", b"a,b\n1",
         b"\xef\xbb\xbfversion = 1", b"\x89PNG\r\n", bytes(range(256)) * 40, b"[" * 5000, b"1;2;3\n" * 2000,
         "½ ٣ 12,5\n".encode(), b"nan nan\ninf -1\n", b'name = "x"\nname = "y"\n']

PYTHON = re.compile(
    r"\bnan\b|\binf\b|None|\bnp\.|\barray\(|dtype|<class|object at|\w+Error\b|float64|Traceback|\\x|e\+\d\d"
)


def meant(refusal: Refused) -> None:
    """Assert that a refusal was raised by a check, not made of another exception, and reads as a sentence."""
    assert isinstance(refusal, Refused) and refusal.__cause__ is None
    text = str(refusal)
    assert 20 <= len(text) <= 600 and text.rstrip()[-1] in ".?)”", text[:300]
    assert not re.match(r"[a-z]{3}", text), text
    own_words_out = re.sub(r"“[^”]*”", "“”", text)
    assert not PYTHON.search(own_words_out), text


def refused(act: Callable[[], Any]) -> str:
    """The sentence with which `act` refuses; fails where it answers or where something else is raised."""
    with pytest.raises(Refused) as caught:
        act()
    meant(caught.value)
    return str(caught.value)


def answered(act: Callable[[], Any]) -> Any:
    """What `act` answers, or None where it refuses and meant to; anything else that is raised goes on its way."""
    try:
        return act()
    except Refused as refusal:
        meant(refusal)
        return None
