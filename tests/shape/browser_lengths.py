"""Measure the drawings beside this file in Chromium; run by hand, never by the tests.

    python tests/shape/browser_lengths.py

Opens every `drawings/*.svg` by itself in headless Chromium and writes
`drawings/measured_in_chromium.json`: for each shape with an id its length in its own user units
(getTotalLength), its length on paper (20 000 chords between points put through getScreenCTM), nine
points on paper (getPointAtLength); for each `use` the corners of its box (getBBox); which elements
show nothing. Lengths on paper are mm at 96 px to the inch, points from the upper left corner with
y down. A digest of each drawing tells the tests when one has been changed. Needs playwright and a
Chromium on the path.
"""

from __future__ import annotations

import json
import shutil
from hashlib import sha256
from pathlib import Path

DRAWINGS = Path(__file__).parent / "drawings"
MEASURED = DRAWINGS / "measured_in_chromium.json"

LOOK = """() => {
  const mm = 25.4 / 96, found = {};
  const paper = (e, p) => { const q = p.matrixTransform(e.getScreenCTM());
                            return [q.x * mm, q.y * mm]; };
  for (const e of document.querySelectorAll('[id]')) {
    if (e.closest('defs')) continue;
    if (!e.getClientRects().length || getComputedStyle(e).visibility !== 'visible') {
      found[e.id] = {seen: false}; continue; }
    if (e.getTotalLength) {
      const long = e.getTotalLength(), at = t => paper(e, e.getPointAtLength(t * long));
      let sum = 0, before = at(0);
      for (let i = 1; i <= 20000; i++) { const p = at(i / 20000);
        sum += Math.hypot(p[0] - before[0], p[1] - before[1]); before = p; }
      found[e.id] = {seen: true, user_length: long, paper_length: sum,
                     points: [0, 1, 2, 3, 4, 5, 6, 7, 8].map(i => at(i / 8))};
    } else if (e.tagName === 'use') {
      const b = e.getBBox(), corner = (x, y) => paper(e, new DOMPoint(x, y));
      found[e.id] = {seen: true, box: [corner(b.x, b.y), corner(b.x + b.width, b.y + b.height)]};
    }
  }
  return found;
}"""


def main() -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"),
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
        )
        page = browser.new_page(viewport={"width": 1600, "height": 1600})
        measured = {"browser": f"Chromium {browser.version}", "digests": {}, "drawings": {}}
        for file in sorted(DRAWINGS.glob("*.svg")):
            text = file.read_text(encoding="utf-8")
            measured["digests"][file.name] = sha256(text.encode()).hexdigest()[:16]
            page.goto(file.as_uri())
            measured["drawings"][file.name] = page.evaluate(LOOK)
        browser.close()
    text = json.dumps(measured, indent=1, ensure_ascii=False)
    MEASURED.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
