"""Opens guides in a real browser without a window: nothing on its console, nothing asked for outside
the page, nothing wider than a phone or left out on it, every picture described, every word readable in contrast
(WCAG 2.2, 1.4.3: 4.5 to 1), and a sensible number of printed pages.

usage: check_guide.py GUIDE.html ...
"""

import html
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import pypdf

NAMES = ("chromium", "chromium-browser", "google-chrome")
# Pages of A4 that a guide may print: its table has a row for each layer, about 40 to a page.
FEWEST, MOST = 4, 24
# CSS pixels of a narrow telephone.
PHONE = 360
QUIET = [
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-extensions",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-default-apps", "--allow-file-access-from-files", "--enable-logging=stderr",
    "--log-level=0", "--host-resolver-rules=MAP * ~NOTFOUND",
]

# Looks at the guide in a frame as wide as a telephone and leaves what it saw in the page.
LOOK = """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>look</title></head><body>
<iframe id="f" style="width:%dpx;height:800px;border:0" src="%s"></iframe><pre id="seen"></pre><script>
function light(c) { const v = c.map(x => { x /= 255;
  return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4; });
  return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2]; }
function rgb(s) { const m = s.match(/[\\d.]+/g).map(Number); return m.length > 3 && m[3] === 0 ? null : m.slice(0, 3); }
document.getElementById('f').onload = e => {
  const w = e.target.contentWindow, d = w.document, faults = [];
  if (!d.documentElement.lang) faults.push('no language');
  if (!d.title) faults.push('no title');
  if (!d.querySelector('meta[name=viewport]')) faults.push('no viewport');
  if (!d.querySelector('main')) faults.push('no main part');
  const wide = d.documentElement.scrollWidth;
  if (wide > w.innerWidth) faults.push('it is ' + wide + ' wide on ' + w.innerWidth);
  for (const t of d.querySelectorAll('.wide'))
    if (t.scrollWidth > t.clientWidth) faults.push('a table is ' + t.scrollWidth + ' wide on ' + t.clientWidth);
  for (const c of d.querySelectorAll('th, td'))
    if (c.textContent.trim() && w.getComputedStyle(c).display === 'none') faults.push('hidden: ' + c.textContent);
  let level = 0;
  for (const h of d.querySelectorAll('h1,h2,h3,h4,h5,h6')) {
    const n = Number(h.tagName[1]);
    if (n > level + 1) faults.push('heading "' + h.textContent + '" skips a level');
    level = n;
  }
  if (d.querySelectorAll('h1').length !== 1) faults.push('not one h1');
  for (const i of d.images) {
    if (!i.alt) faults.push('a picture without words');
    if (!i.naturalWidth) faults.push('a picture that cannot be shown: ' + i.alt);
  }
  for (const s of d.querySelectorAll('svg')) {
    if (!s.closest('[aria-label],[role=img]') && !s.querySelector('title')) faults.push('a drawing without words');
  }
  for (const t of d.querySelectorAll('th')) if (!t.scope) faults.push('th without scope: ' + t.textContent);
  for (const a of d.querySelectorAll('a[href^="#"]'))
    if (!d.getElementById(a.getAttribute('href').slice(1))) faults.push('a link to nowhere: ' + a.textContent);
  let least = 21;
  const walk = d.createTreeWalker(d.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    if (!walk.currentNode.data.trim()) continue;
    const p = walk.currentNode.parentElement;
    if (p.closest('svg,style,script,title')) continue;
    let back = null;
    for (let q = p; q && !back; q = q.parentElement) back = rgb(w.getComputedStyle(q).backgroundColor);
    const a = light(rgb(w.getComputedStyle(p).color)), b = light(back || [255, 255, 255]);
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    least = Math.min(least, ratio);
    if (ratio < 4.5) faults.push('too faint: ' + walk.currentNode.data.trim().slice(0, 40));
  }
  document.getElementById('seen').textContent = JSON.stringify({faults, least, wide,
    pictures: d.images.length + d.querySelectorAll('svg image').length, drawings: d.querySelectorAll('svg').length});
};
</script></body></html>
"""


def browser():
    for name in NAMES:
        if path := shutil.which(name):
            return path
    sys.exit("a browser is needed: chromium")


def run(folder, *args):
    """Runs the browser; its output, and what it wrote on the console."""
    done = subprocess.run(
        [browser(), *QUIET, f"--user-data-dir={folder}/profile", *args],
        capture_output=True, text=True, timeout=180, check=False)
    if done.returncode != 0:
        sys.exit(f"the browser failed: {done.stderr[-2000:]}")
    console = [line for line in done.stderr.splitlines() if "CONSOLE" in line]
    return done.stdout, console


def outside(log, page):
    """Addresses that the page asked for, other than itself."""
    text = log.read_text()
    try:
        log = json.loads(text)
    except json.JSONDecodeError:
        log = json.loads(text.rstrip().rstrip(",") + "]}")
    found = set()
    for event in log["events"]:
        params = event.get("params", {})
        url, by = params.get("url", ""), params.get("initiator", "")
        if url.startswith(("http", "ws", "ftp")) and by not in ("", "not an origin"):
            found.add(url)
    return sorted(found)


def faults_of(guide):
    """Everything wrong with one guide, and what was seen."""
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        pdf, log = folder / "page.pdf", folder / "net.json"
        url = guide.resolve().as_uri()
        _, console = run(folder, f"--log-net-log={log}", "--no-pdf-header-footer",
                         f"--print-to-pdf={pdf}", url)
        faults += [f"on the console: {line}" for line in console]
        faults += [f"asks for {found}" for found in outside(log, url)]
        pages = len(pypdf.PdfReader(pdf).pages)
        look = folder / "look.html"
        look.write_text(LOOK % (PHONE, html.escape(url)))
        dom, console = run(folder, "--virtual-time-budget=20000", "--dump-dom", look.as_uri())
        faults += [f"on the console: {line}" for line in console]
        seen = re.search(r'<pre id="seen">(.+?)</pre>', dom, re.S)
        if not seen:
            return faults + ["the page could not be looked at"], {}
        seen = json.loads(html.unescape(seen[1]))
        seen["pages"] = pages
        return faults + seen.pop("faults"), seen


def proves_itself():
    """A page with every fault must be found faulty; else this check proves nothing."""
    with tempfile.TemporaryDirectory() as folder:
        bad = pathlib.Path(folder) / "bad.html"
        bad.write_text(
            "<html><body><h3>x</h3><img src='https://outside.invalid/a.png'><p style='color:#999'>"
            "faint</p><div style='width:900px'>wide</div><script>undefined_thing()</script>")
        faults = "\n".join(faults_of(bad)[0])
        for word in ("no language", "skips a level", "without words", "too faint", "wide on",
                     "on the console", "asks for https://outside.invalid/a.png"):
            assert word in faults, f"`{word}` was not found in a page that has it:\n{faults}"


def main():
    proves_itself()
    for path in map(pathlib.Path, sys.argv[1:]):
        faults, seen = faults_of(path)
        if not FEWEST <= seen.get("pages", 0) <= MOST:
            faults.append(f"it prints {seen.get('pages')} pages, not {FEWEST} to {MOST}")
        if not seen.get("pictures"):
            faults.append("it has no pictures")
        for fault in faults:
            print(f"{path}: {fault}")
        if faults:
            sys.exit(1)
        print(f"{path}: {seen}")


main()
