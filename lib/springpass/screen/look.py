"""The two files of the front end as text: page.js, and page.css with the look of the pictures.

A notebook's widget (front.py) and a pocket card (printing/pocket) hold the same.
"""

from pathlib import Path

from . import draw

HERE = Path(__file__).parent
CSS = (HERE / "page.css").read_text(encoding="utf-8") + draw.STYLE
JS = (HERE / "page.js").read_text(encoding="utf-8")
