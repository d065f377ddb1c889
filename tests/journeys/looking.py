"""What is wrong with the page that a browser shows: width, targets, heading, title, axe."""

from typing import Any

from axe_playwright_python.sync_playwright import Axe

from tests.journeys.people import AXE_RULES

#: A desk, a tablet, a phone.
WIDTHS = (1280, 820, 390)

#: What a page is, once everything folded is open. A target is as large as it is with its label;
#: a link among the words of a sentence is as high as its line and is left out.
LOOK = """() => {
  for (const part of document.querySelectorAll('main details')) part.open = true;
  const width = window.innerWidth;
  const name = e => e.tagName.toLowerCase() + (e.id ? '#' + e.id : '') + ' ' +
    (e.getAttribute('name') || e.textContent || '').trim().slice(0, 30);
  const inSentence = e => e.tagName === 'A' && getComputedStyle(e).display === 'inline' &&
    [...e.parentElement.childNodes].some(
      n => n.nodeType === 3 && /[a-z0-9]{2}/i.test(n.textContent));
  const small = [];
  const targets = 'a[href], button, input:not([type=hidden]), select, textarea, summary';
  for (const e of document.querySelectorAll(targets)) {
    if (!e.checkVisibility({visibilityProperty: true}) || inSentence(e)) continue;
    if (e.closest('[aria-hidden=true]')) continue;
    const boxes = [e, ...(e.labels || [])].map(one => one.getBoundingClientRect())
      .filter(box => box.width > 0 && box.height > 0);
    if (!boxes.length) continue;
    const left = Math.min(...boxes.map(b => b.left)), right = Math.max(...boxes.map(b => b.right));
    const top = Math.min(...boxes.map(b => b.top)), end = Math.max(...boxes.map(b => b.bottom));
    if (right <= 0 || end + window.scrollY <= 0) continue;
    if (right - left < 23.9 || end - top < 23.9)
      small.push(`${name(e)} is ${Math.round(right - left)} x ${Math.round(end - top)}`);
  }
  const wide = document.documentElement.scrollWidth > width
    ? [...document.querySelectorAll('body *')]
        .filter(e => e.getBoundingClientRect().right > width + 1).slice(0, 2).map(name)
    : null;
  const box = part => document.querySelector(part)?.getBoundingClientRect();
  const nav = box('.top .nav'), who = box('.top .who');
  const rows = nav && who && who.top >= nav.bottom;
  const headings = document.querySelectorAll('h1').length;
  return {small, wide, rows, headings, title: document.title};
}"""
AXE = Axe().axe_script
FIND = """rules => axe.run(document, rules).then(
  found => found.violations.map(row => `${row.id} at ${row.nodes[0].target}`))"""


def wrong_with(page: Any, title: str, *, axe: bool) -> list[str]:
    """Everything that is wrong with the page that is open, in words."""
    wrong: dict[int, list[str]] = {}
    # The window is as narrow as the last page left it: going back the same way saves a change.
    narrow_first = page.viewport_size["width"] == WIDTHS[-1]
    for width in WIDTHS[::-1] if narrow_first else WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        seen = page.evaluate(LOOK)
        wrong[width] = [f"at {width}: {target}" for target in seen["small"]]
        if seen["wide"] is not None:
            wrong[width].append(f"at {width}: wider than the window: {seen['wide']}")
        if width != WIDTHS[0]:
            continue
        if seen["rows"]:
            wrong[width].append("who is at work stands in a row below the places")
        if seen["headings"] != 1:
            wrong[width].append(f"{seen['headings']} headings h1")
        if not seen["title"].startswith(title) or not seen["title"].endswith(" - Case tracker"):
            wrong[width].append(f"its title is {seen['title']}")
        if axe:
            page.evaluate(AXE)
            wrong[width] += page.evaluate(FIND, {**AXE_RULES, "resultTypes": ["violations"]})
    return [said for width in WIDTHS for said in wrong[width]]
