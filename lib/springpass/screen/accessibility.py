"""What the widgets leave out for a screen reader and for the keyboard, put in once for every page.

ipywidgets 8.1 names its number boxes, lists and ticks, but not its sliders: a handle has a role and a
value and no name, and nothing in Python reaches it (tooltip and title land on an element around it,
and a logarithmic slider reads out its exponent). The same holds for the state of its choice buttons
and for a region that a screen reader should listen to. So `HELP`, a style sheet that stands in each
page, carries a few lines that run in the browser when the style sheet is there, and again when the page
changes; they set attributes and nothing else, and ask nothing of any network. One of these attributes
keeps a list's and a slider's keys for themselves: JupyterLab would take an arrow in a list for a step to
the next cell, and a letter on a slider for a command to the notebook. Where a viewer takes the
lines out the page works as before, and the named number box beside each slider does all that it does.
"""

from __future__ import annotations

import re
from html import escape

SCRIPT = """
const root = this.closest('.sp-page, .sp-ask, .sp-units');
if (root && !root.spHelped) {
  root.spHelped = true;
  const all = (what, act) => root.querySelectorAll(what).forEach(act);
  const put = (e, name, value) => {
    if (e.getAttribute(name) !== value) value === null ? e.removeAttribute(name) : e.setAttribute(name, value); };
  const id = e => e.id || (e.id = 'sp-' + Math.random().toString(36).slice(2));
  const help = () => {
    all('.sp-row .noUi-handle', handle => {
      const row = handle.closest('.sp-row'), box = row.querySelector('input'), label = row.querySelector('label');
      if (label) put(handle, 'aria-labelledby', id(label));
      if (box) put(handle, 'aria-valuetext', box.value); });
    all('.sp-row input, .sp-row textarea, .sp-row select', box => {
      const wrong = box.closest('.sp-row').querySelector('.sp-wrong');
      put(box, 'aria-invalid', wrong ? 'true' : null);
      put(box, 'aria-describedby', wrong ? id(wrong) : null); });
    all('.widget-toggle-buttons', group => {
      const label = group.querySelector('label');
      put(group, 'role', 'group');
      if (label) put(group, 'aria-labelledby', id(label)); });
    all('.widget-toggle-button', button =>
      put(button, button.classList.contains('sp-all') ? 'aria-expanded' : 'aria-pressed', String(button.classList.contains('mod-active'))));
    all('select, .noUi-handle', e => put(e, 'data-lm-suppress-shortcuts', 'true'));
    all('.sp-live > .widget-html-content', region => { put(region, 'role', 'status'); put(region, 'aria-live', 'polite'); });
    all('.sp-words, .sp-more, .sp-solution', box =>
      put(box, 'tabindex', box.scrollHeight > box.clientHeight + 1 && getComputedStyle(box).overflowY !== 'visible' ||
                           box.scrollWidth > box.clientWidth + 1 ? '0' : null));
  };
  new MutationObserver(help).observe(root, {childList: true, subtree: true, attributes: true, attributeFilter: ['class', 'style', 'aria-valuetext']});
  new ResizeObserver(help).observe(root);
  root.addEventListener('keyup', () => setTimeout(help, 200));
  help();
}
"""

CSS = """
.sp-page.sp-page :focus-visible,.sp-ask.sp-ask :focus-visible,.sp-units.sp-units :focus-visible{outline:3px solid var(--jp-brand-color1,#1976d2)!important;outline-offset:2px}
.sp-ask .sp-field>label.widget-label{position:absolute;width:1px;height:1px;padding:0;margin:0;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.sp-page summary,.sp-ask summary{padding:4px 0;cursor:pointer}
@media (max-width:760px){.sp-page .sp-controls *{scroll-margin-top:38vh}.sp-page summary,.sp-ask summary{padding:12px 0}}
@media (prefers-reduced-motion:reduce){.sp-page *,.sp-ask *{transition:none!important;animation:none!important}}
@media (forced-colors:active){.sp-page .noUi-target,.sp-page .noUi-handle{border:1px solid CanvasText!important}
 .sp-page .noUi-handle{background:Highlight!important;forced-color-adjust:none}
 .sp-page .mod-active,.sp-ask .mod-active,.sp-units .mod-active{outline:2px solid Highlight}}
"""

HELP = f'<style onload="{escape(" ".join(SCRIPT.split()))}">{CSS}</style>'


def heading(text: str, level: int, name: str = "") -> str:
    """A heading of a page, without the look that a viewer gives its own; `text` is taken as it stands."""
    return f'<div class="{name}" role="heading" aria-level="{level}">{text}</div>'


def headed(html: str) -> str:
    """Tables with their headings told apart: of a column in a row of headings alone, else of the row."""
    return re.sub(r"<tr>(.*?)</tr>", _row, html, flags=re.S)


def _row(found: re.Match[str]) -> str:
    cells = re.sub(r"<th></th>", "<td></td>", found[1])
    heads = len(re.findall(r"<th[ >]", cells))
    if heads == 1 and re.match(
        r"<th colspan=[^>]*>(?!.*<t[hd])", cells, re.S
    ):  # one cell across the table is a line between rows
        cells = re.sub(r"<th(?= )(.*)</th>", r"<td\1</td>", cells, flags=re.S)
    scope = "row" if re.search(r"<td[ >](?!</td>)", cells.replace("<td></td>", "")) else "col"
    return f"<tr>{re.sub(r'<th(?=[ >])(?![^>]* scope=)', f'<th scope={chr(34)}{scope}{chr(34)}', cells)}</tr>"
