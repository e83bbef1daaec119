"""What a button has written comes into the user's hand: a link under it that holds the file."""

import base64
import re

import pytest

from springpass.boring_bar.quantities import Stickout
from springpass.pages import class_sheets, handouts, lesson_plans, my_shop, pocket_card, wall_cards
from springpass.pages.plan import PAGE as PLAN
from springpass.printing import pages_to_print
from springpass.screen import downloads, page
from springpass.screen.downloads import Saved
from springpass.screen.page import Live, Page, Press, Slide


@pytest.fixture(autouse=True)
def _own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    monkeypatch.setattr(pages_to_print, "chromium", lambda: None)


def held(html: str) -> dict[str, bytes]:
    """The files in the links, by name."""
    return {
        name: base64.b64decode(data)
        for name, data in re.findall(r'<a download="([^"]*)" href="data:[a-z/-]+;base64,([^"]*)">', html)
    }


def note_of(live: Live) -> str:
    """Press a page's first button; what is then under it."""
    return live.press(live.page.presses[0].label)


def test_a_saved_sentence_is_a_sentence(tmp_path):
    place = tmp_path / "sheet <&>.html"
    place.write_bytes("Ø20 h6".encode())
    says = Saved("Written.", place)
    assert says == "Written." and isinstance(says, str)
    assert held(says.links().replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")) == {
        "sheet <&>.html": "Ø20 h6".encode()
    }
    assert "<&>" not in says.links() and "http" not in says.links()


def test_no_link_where_there_is_nothing_to_fetch(tmp_path, monkeypatch):
    place = tmp_path / "large.html"
    assert Saved("Written.", place).links() == "" == Saved("Nothing.").links()
    place.write_bytes(b"x" * 11)
    monkeypatch.setattr(downloads, "LARGEST", 10)
    assert Saved("Written.", place).links() == ""


@pytest.mark.parametrize(
    "which",
    [class_sheets.PAGE, handouts.PAGE, lesson_plans.PAGE, lesson_plans.COURSE, wall_cards.PAGE, my_shop.MY_SHOP, PLAN],
    ids=lambda p: p.name,
)
def test_what_is_written_can_be_fetched(which, tmp_path):
    live = Live(which)
    note = note_of(live)
    files = held(note)
    assert files, note
    assert {name: (tmp_path / "shop" / name).read_bytes() for name in files} == files


def test_the_pocket_card_can_be_fetched(tmp_path):
    live = Live(pocket_card.PAGE)
    live.set("inputs", "stickout = 30; 40")
    files = held(note_of(live))
    assert list(files) == ["card_check_stickout.html"] and files["card_check_stickout.html"].startswith(
        b"<!doctype html>"
    )


def _page(does) -> Page:
    return Page(
        "p",
        "P",
        (Slide("stickout", Stickout),),
        lambda stickout: stickout,
        lambda r, say: "<svg></svg>",
        lambda r, say: "words",
        presses=(Press("go", does),),
    )


def test_a_plain_sentence_stays_as_it_was_and_is_escaped():
    note = note_of(Live(_page(lambda stickout: "Kept <b>it</b>.")))
    assert "Kept &lt;b&gt;it&lt;/b&gt;." in note and "<a" not in note
    live = Live(_page(lambda stickout: "Kept."))
    note_of(live)
    live.set("stickout", 50)
    assert "Kept." in live.said["go"]


def test_a_link_goes_when_its_page_stands_elsewhere(tmp_path):
    place = tmp_path / "a.html"
    place.write_text("a", encoding="utf-8")
    live = Live(_page(lambda stickout: Saved("Written.", place)))
    note = note_of(live)
    assert held(note) == {"a.html": b"a"}
    live.set("stickout", 50)
    assert "go" not in live.said


def test_a_refusal_has_no_link():
    def refuses(stickout):
        raise page.Refused("No.")

    assert "No." in note_of(Live(_page(refuses)))
