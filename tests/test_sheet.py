"""The operation sheet: everything on it, nothing typed gets out of its box, one or two pages in print."""

import csv
import dataclasses
import io
import re
import shutil
import subprocess
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from springpass import job
from springpass.core import files
from springpass.core.quantity import Refused, Say
from springpass.core.spread import Likely
from springpass.job import learning, part, tools
from springpass.job.part import Blank, Part, Surface
from springpass.job.results import (
    BarGivesWay,
    Cause,
    DrillCutsOver,
    Holding,
    Missing,
    Operation,
    OrderReason,
    Plan,
    Share,
    SizeBudget,
)
from springpass.printing import holding_words, plan_words
from springpass.printing.sheet import (
    ALWAYS,
    Odds,
    Sheet,
    Step,
    drawn,
    html,
    keep,
    markdown,
    of_plan,
    table,
)

FIRST, SECOND = "three-jaw chuck", "collet, second end"
STEPS = (
    Step(
        "Face the end",
        FIRST,
        "roughing tool",
        turns=1000,
        feed=0.1,
        depths=(0.5,),
        setting="stop at zero",
        reason="The datum for every length.",
    ),
    Step(
        "Rough outside",
        FIRST,
        "roughing tool",
        turns=1000,
        feed=0.2,
        depths=(1, 1, 0.5),
        target=21,
        of="diameter",
        measure="calliper",
        cautions=("Long chips: stop and clear them with a hook.",),
    ),
    Step(
        "Bore",
        FIRST,
        "6 mm carbide bar",
        stickout=36,
        turns=1200,
        feed=0.05,
        depths=(0.05, 0.04),
        target=9.82,
        of="diameter",
        expected=9.81,
        measure="bore gauge",
        wait=30,
    ),
    Step(
        "Ream 10 H7",
        FIRST,
        "10 mm reamer",
        turns=250,
        feed=0.2,
        target=10,
        of="diameter",
        expected=10.008,
        low=10,
        high=10.015,
        setting="gauge blocks 32.000 mm",
        measure="bore gauge",
        wait=600,
        reason="Bore before finishing the 20 h6: the release would move it 4 µm of 13.",
    ),
    Step(
        "Finish seat 20 h6",
        FIRST,
        "finishing tool",
        turns=1250,
        feed=0.06,
        depths=(0.25, 0.1),
        target=19.991,
        of="diameter",
        expected=19.9935,
        low=19.987,
        high=20,
        measure="micrometer",
        wait=900,
    ),
    Step(
        "Face to length",
        SECOND,
        "finishing tool",
        turns=1000,
        feed=0.08,
        target=85,
        of="length",
        low=84.9,
        high=85.1,
        measure="calliper",
    ),
)
SHEET = Sheet(
    "Drive sleeve",
    STEPS,
    "carbon steel",
    "Ø25 × 92",
    "a small shop",
    (Odds("seat 20 h6", 19.987, 20, 19.9935, 19.989, 19.998, 0.91),),
    ("Ranges hold nine times in ten.",),
)


class Reader(HTMLParser):
    """Text, tags and attributes of a page, and whether every tag is closed."""

    def __init__(self):
        super().__init__()
        self.open, self.tags, self.text, self.attributes = [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if not self.open or self.open[-1] != "style":
            self.text.append(data)


def seen(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


def test_everything_is_on_the_sheet():
    reader = seen(html(SHEET))
    text = " ".join(reader.text)
    for wanted in (
        "Drive sleeve",
        "carbon steel",
        "Ø25 × 92",
        "1. Face the end",
        "Ø 19.991 mm",
        "comes out 19.994 mm",
        "19.987 to 20.000 mm",
        "↔ 85.000 mm",
        "36 mm",
        "1000 rpm",
        "0.2 mm/rev",
        "2 × 1, 0.5 mm on the radius",
        "gauge blocks 32.000 mm",
        "30 s",
        "10 min",
        "15 min",
        "Long chips",
        "the release would move it 4 µm of 13",
        "91 %",
        "Ranges hold",
        "three-jaw chuck",
        "collet, second end",
        *ALWAYS,
    ):
        assert wanted in text, wanted
    page = html(SHEET)
    assert page.count('class="tick"') == len(STEPS)
    assert page.count(">measured<") == 5, "a box for each step that is measured"
    assert page.count('class="hold"') == 2, "said again only when the holding changes"
    assert set(reader.tags) <= {
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "h1",
        "div",
        "span",
        "b",
        "br",
        "p",
        "table",
        "tr",
        "th",
        "td",
    }
    assert not re.search(r"https?:|src=|url\(", page), "nothing is fetched"


def test_in_inches():
    text = " ".join(seen(html(SHEET, Say(True))).text)
    assert "Ø 0.78705 inch" in text            # 19.991 / 25.4
    assert "0.78689 to 0.78740 inch" in text    # 19.987 and 20.000 over 25.4
    assert "1.42 inch" in text                 # 36 / 25.4
    assert "0.0079 inch/rev" in text          # 0.2 / 25.4
    rows = list(csv.DictReader(io.StringIO(table(SHEET, Say(True)))))
    assert rows[4]["set to inch"] == "0.787047"
    assert "Ø 0.78705 inch" in markdown(SHEET, Say(True))


def test_the_table_gives_every_number_back():
    rows = list(csv.DictReader(io.StringIO(table(SHEET))))
    assert len(rows) == len(STEPS)
    for row, step in zip(rows, STEPS, strict=True):
        assert (row["what"], row["held"], row["tool"], row["reason"]) == (
            step.what,
            step.holding,
            step.tool,
            step.reason,
        )
        for column, value in (
            ("set to mm", step.target),
            ("allowed from mm", step.low),
            ("allowed to mm", step.high),
            ("stickout mm", step.stickout),
            ("feed a revolution mm", step.feed),
            ("spindle rpm", step.turns),
            ("wait s", step.wait),
        ):
            assert float(row[column] or 0) == pytest.approx(value, abs=5e-5)
        assert [float(d) for d in row["depths on radius mm"].split()] == pytest.approx(step.depths)
        assert row["measured mm"] == ""


def test_markdown_is_a_list_to_tick_off():
    text = markdown(SHEET)
    assert text.count("- [ ] ") == len(STEPS)
    assert text.startswith("# Drive sleeve\n")
    assert "| seat 20 h6 | 19.987 to 20.000 mm |" in text
    assert text.count("## ") == 2
    assert all(line in text for line in ("▲ Long chips: stop and clear them with a hook.",))


NASTY = '<script>alert("x")</script> | a & b \n# head `code` *bold* \x00\x1b[31m =1+1'


def test_nothing_typed_gets_out_of_its_box():
    bad = Step(
        NASTY, NASTY, NASTY, target=1, of="diameter", setting=NASTY, measure=NASTY, cautions=(NASTY,), reason=NASTY
    )
    sheet = Sheet(NASTY, (bad,), NASTY, NASTY, NASTY, (Odds(NASTY, 1, 2, 1.5, 1, 2, 0.5),), (NASTY,), (NASTY,))
    page = html(sheet)
    assert "script" not in seen(page).tags
    assert "<script" not in page.lower() and "\x00" not in page and "\x1b" not in page
    text = markdown(sheet)
    assert "<script" not in text and "\n# head" not in text and "`code`" not in text.replace("\\`", "")
    assert all(line.count("|") - line.count("\\|") in (0, 6) for line in text.splitlines())
    assert list(csv.reader(io.StringIO(table(sheet))))[1][1].startswith(
        "<script>"
    )  # a table has no tags to break out of


@pytest.mark.parametrize("start", ["=1+1", "+A1", "-A1", "@x", " =1"])
def test_a_spreadsheet_takes_no_text_for_a_formula(start):
    cell = next(csv.DictReader(io.StringIO(table(Sheet("x", (Step(start),))))))["what"]
    assert cell[:1] == "'"


@given(st.text(max_size=60), st.text(max_size=60))
def test_any_text_can_be_typed(one, two):
    sheet = Sheet(one, (Step(two, one, two, cautions=(one,), reason=two, measure=one),), notes=(two,))
    reader = seen(html(sheet))
    assert {"script", "img", "a", "iframe", "svg"}.isdisjoint(reader.tags)
    assert not any(name.startswith("on") for name in reader.attributes)
    assert len(list(csv.reader(io.StringIO(table(sheet))))) == 2
    assert markdown(sheet).count("- [ ] ") == 1


def test_what_cannot_be_printed_is_refused():
    for write in (html, markdown, table):
        with pytest.raises(Refused, match="no steps"):
            write(Sheet("empty", ()))
    with pytest.raises(Refused, match="A4 or Letter"):
        html(SHEET, paper="A3")


def test_a_sheet_is_saved_in_the_users_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    place = files.put("drive sleeve.html", html(SHEET))
    assert place.read_text(encoding="utf-8") == html(SHEET)


@pytest.mark.parametrize("paper,count", [("A4", 12), ("Letter", 12), ("A4", 22), ("Letter", 22)])
def test_in_print_it_takes_two_pages_at_most(tmp_path, paper, count):
    browser = next((b for b in ("chromium", "chromium-browser", "google-chrome") if shutil.which(b)), None)
    if browser is None:
        pytest.skip("no browser to print with")
    steps = tuple(dataclasses.replace(STEPS[i % 6], what=f"{STEPS[i % 6].what} ({i})") for i in range(count))
    page, printed = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    page.write_text(html(dataclasses.replace(SHEET, steps=steps), Say(count > 12), paper), encoding="utf-8")
    subprocess.run(
        [
            browser,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
            f"--user-data-dir={tmp_path / 'profile'}",
            f"--print-to-pdf={printed}",
            page.as_uri(),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    assert 1 <= len(re.findall(rb"/Type\s*/Page[^s]", printed.read_bytes())) <= 2
    width = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+)", printed.read_bytes())
    assert float(width.group(1)) == pytest.approx({"A4": 595.3, "Letter": 612}[paper], abs=1.5)


# ---- from a plan

def a_plan():
    """A little plan by hand: a bush bored to 12 H7 and turned, in two holdings."""
    holdings = (Holding(1, "three-jaw chuck", "", 20, 25, 30, "near end"),
                Holding(2, "soft jaws", "outside", 18, 10, 15, "far end", runout=0.01, thinnest=18))
    operations = (
        Operation(1, "face", "", 1, (), False, start=0, end=0, tool="roughing tool"),
        Operation(
            2,
            "drill",
            "bore",
            1,
            (1,),
            False,
            DrillCutsOver(0.1),
            tool="twist drills",
            after=11.5,
            spindle=600,
            feed=0.1,
        ),
        Operation(
            3,
            "bore",
            "bore",
            1,
            (2,),
            True,
            BarGivesWay(5.6, 20, -0.023),
            tool="8 mm steel bar",
            tool_stickout=45,
            depths=(0.2, 0.1, 0.0),
            after=12,
            target=12.009,
            dial=12.032,
            low=12.001,
            high=12.017,
            measure="bore gauge, set in a micrometer",
            wait=120,
        ),
        Operation(4, "part off", "", 1, (3,), False, tool="parting blade", target=21.0),
        Operation(
            5,
            "finish turn",
            "outside",
            2,
            (3,),
            True,
            tool="finishing tool",
            target=17.991,
            dial=17.988,
            low=17.982,
            high=18.0,
            measure="micrometer 0 to 25",
        ),
    )
    budgets = (
        SizeBudget(
            "bore",
            "bore",
            "size",
            3,
            12,
            12.0,
            12.018,
            12.009,
            (Share(Cause.BAR_BENDS, "03_boring_bar", -0.023, 0.003),),
            Likely(12.009, 12.003, 12.015),
            0.93,
            "holds",
        ),
        SizeBudget(
            "outside",
            "outside",
            "size",
            5,
            18,
            17.982,
            18.0,
            17.991,
            (Share(Cause.WORK_BENDS, "05_workholding", 0.003, 0.001),),
            Likely(17.991, 17.986, 17.996),
            0.97,
            "holds",
        ),
    )
    surfaces = (Surface("bore", "bore", 12, 0, 20, 0, 0.018, "H7", True),
                Surface("outside", "outside", 18, 0, 20, -0.018, 0, "h7", True))
    part = Part("bush", "bronze CuSn8", 20.0, Blank(20, 24, "as cast"), surfaces)
    return Plan(
        part,
        tools.default_shop(),
        job.Settings(),
        holdings,
        operations,
        budgets,
        0.9,
        "holds",
        "bore first",
        OrderReason("no tolerance"),
        (),
        missing=(Missing("drill", "bore", size=12.5),),
        short=(1.1,),
        minutes=31,
    )


def test_a_plan_becomes_a_sheet():
    sheet = of_plan(a_plan())
    text = " ".join(seen(html(sheet)).text)
    for wanted in (
        "bush",
        "bronze CuSn8",
        "Ø20 × 24 mm, as cast",
        holding_words.hold(a_plan(), a_plan().holdings[0], Say()),
        "Ø 12.032 mm",
        "comes out 12.009 mm",
        "12.001 to 12.017 mm",
        "0.2, 0.1 mm on the radius, then 1 spring pass",
        "45 mm",
        "2 min",
        "Ø 11.5 mm",
        "↔ 21 mm",
        plan_words.missing(a_plan(), a_plan().missing[0], Say()),
        "93 %",
        "90 %",
        "31 minutes",
        "bore Ø12 H7",
        plan_words.short_bore(1.1),
    ):
        assert wanted in text, wanted
    for h in a_plan().holdings:
        assert all(1 <= text.count(caution) <= 2 for caution in holding_words.holding_cautions(a_plan(), h, Say()))
    assert text.count(ALWAYS[0]) == 1
    assert "0.94" in html(of_plan(a_plan(), Say(True)), Say(True))
    assert markdown(sheet).count("- [ ] ") == 5 and len(table(sheet).splitlines()) == 6


def test_what_a_plan_expects_can_be_set_beside_results():
    bore, outside = learning.expected_of(a_plan())
    assert (bore.feature, bore.made, bore.instrument) == ("bore Ø12 H7", "bored", "bore gauge set in a micrometer")
    assert (outside.made, outside.instrument) == ("turned", "micrometer on a shaft")
    assert bore.dialled == pytest.approx(12.032) and outside.dialled == pytest.approx(17.988)
    as_predicted = [learning.compare(bore, [12.009]), learning.compare(outside, [17.991])]
    assert [r.allowed for r in as_predicted] == [True, True]
    force = learning.lessons(as_predicted)[0]
    assert force.after[1] == pytest.approx(1, abs=0.01), "a result just as predicted moves nothing"
    assert force.narrower < 1
    # bent by half as much again: more force
    assert learning.lessons([learning.compare(bore, [12.032 - 1.5 * 0.023])])[0].after[1] > 1.1


@pytest.mark.parametrize("name", part.DEMOS)
def test_the_demo_parts_come_out_whole(name, tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    plan = job.plan(part.demo(name), tools.own_shop())
    for say in (Say(), Say(True)):
        sheet = of_plan(plan, say)
        text = " ".join(seen(html(sheet, say)).text)
        assert all(f"{o.number}. " in text for o in plan.operations)
        assert not re.search(r"\bnan\b|\binf\b|None|array\(|np\.", text)
        assert [p.suffix for p in keep(sheet, say)] == [".html", ".md", ".csv"]
    expected = learning.expected_of(plan)
    assert len(expected) == len(plan.budgets)
    learning.keep_expected(name, expected)
    assert learning.kept_expected() == (name, expected)
    as_predicted = learning.read_results(
        "\n".join(f"{i}: {e.predicted!r}" for i, e in enumerate(expected, 1)), expected
    )
    assert all(abs(r.surprise) < 0.1 for r in as_predicted)


@pytest.mark.parametrize(
    "title,stem", [("../../etc/passwd", "etcpasswd"), ("<b>", "b"), ("", "sheet"), (".hidden", "hidden")]
)
def test_a_title_is_no_way_out_of_the_folder(tmp_path, monkeypatch, title, stem):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    assert {p.parent for p in keep(Sheet(title, STEPS))} == {tmp_path / "shop"}
    assert (tmp_path / "shop" / f"{stem}.html").exists()


def test_the_plans_page_gets_its_buttons(tmp_path, monkeypatch):
    from springpass.pages import afterwards

    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    metric, inch, remember = afterwards.sheet_buttons(lambda odd: a_plan())
    assert "bush.html, bush.md, bush.csv" in metric.does(heard=lambda done, full: None, odd=1)
    written = (tmp_path / "bush.html").read_text(encoding="utf-8")
    assert "Ø 12.032 mm" in written and "size:A4" in written
    inch.does(heard=lambda done, full: None, odd=1)
    written = (tmp_path / "bush.html").read_text(encoding="utf-8")
    assert "inch" in written and "size:letter" in written
    assert "2 sizes of bush" in remember.does(odd=1)
    assert (
        "1 of 2 features is measured"
        in afterwards.AFTERWARDS.answer(sheet=afterwards.SHEETS[1], measured="bore: 12.004").words
    )


@pytest.mark.parametrize("name", part.DEMOS)
def test_a_plans_sheet_with_its_pictures_takes_two_pages_or_three(tmp_path, name):
    browser = next((b for b in ("chromium", "chromium-browser", "google-chrome") if shutil.which(b)), None)
    if browser is None:
        pytest.skip("no browser to print with")
    made, heard = job.plan(part.demo(name)), []
    sheet = of_plan(made, heard=lambda done, full: heard.append((done, full)))
    assert heard[-1] == (len(made.operations), len(made.operations))
    pictured = [i for i, step in enumerate(sheet.steps, 1) if step.picture]
    assert pictured == list(drawn(made))
    for h in made.holdings:
        assert any(made.operation(n).holding == h.number for n in pictured), "each setup is drawn"
    page, printed = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    page.write_text(html(sheet), encoding="utf-8")
    assert page.read_text(encoding="utf-8").count("<svg") == len(pictured)
    subprocess.run([browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
        f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={printed}", page.as_uri()], check=True,
        capture_output=True, timeout=120)
    pages = len(re.findall(rb"/Type\s*/Page[^s]", printed.read_bytes()))
    assert 1 <= pages <= (2 if len(made.operations) <= 16 else 3)
