"""The shop's page in a real browser: the daily path, the press side, the customer, two editors, and
accessibility by axe-core.

usage: page.py PROGRAM AXE PICTURES
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile
import time
import traceback

sys.path.insert(0, str(pathlib.Path(__file__).parent))
from driver import DOWN, ENTER, ESCAPE, RIGHT, SPACE, TAB, Browser, Driver  # noqa: E402

PROGRAM, AXE, PICTURES = sys.argv[1], pathlib.Path(sys.argv[2]).read_text(), pathlib.Path(sys.argv[3])
ART = pathlib.Path(__file__).parents[2] / "demo" / "art"


class Page:
    """The program serving the demo, and browsers that have entered it."""

    def __init__(self, home):
        self.home, self.listen = home, "127.0.0.1:0"
        self.start()
        self.driver = Driver()
        self.first = Browser(self.driver)
        self.first.go(self.enter)
        self.cookies = self.first.ask("GET", "/cookie")

    def start(self):
        self.process = subprocess.Popen(
            [PROGRAM, "demo", "--serve", "--out", self.home, "--listen", self.listen], stdout=subprocess.PIPE, text=True
        )
        for line in self.process.stdout:
            if "enter?token=" in line:
                self.enter = line.split()[-1]
                break
        self.root = self.enter.split("/enter")[0]
        self.listen = self.root.split("//")[1]

    def stop(self):
        self.process.terminate()
        self.process.wait()

    def browser(self, **how):
        scripts = how.pop("scripts", True)
        one = Browser(self.driver, **how)
        one.go(self.root + "/sign-in")
        for cookie in self.cookies:
            kept = {key: cookie[key] for key in ("name", "value", "path", "httpOnly", "sameSite")}
            one.ask("POST", "/cookie", {"cookie": kept})
        if not scripts:
            one.cdp("Emulation.setScriptExecutionDisabled", value=True)
        return one

    def close(self):
        self.driver.close()
        self.stop()


def planned(browser):
    """Waits until the order's plan is there and shown."""
    browser.until("return document.querySelector('.facts .big') && !document.querySelector('.wait.on')", 300)


def accessible(browser, name):
    """No violation of WCAG 2.2 A and AA that axe-core can see, with everything unfolded."""
    browser.run("for (const fold of document.querySelectorAll('details')) fold.open = true")
    browser.run(AXE)
    found = browser.later(
        "const done = arguments[0]; axe.run(document, {runOnly: ['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa']})"
        ".then(r => done(r.violations.map(v => v.id + ': ' + v.help + ' | ' + v.nodes.slice(0, 3).map(n => n.target.join(' ')"
        " + ' ' + (n.failureSummary || '').split('\\n')[1]).join(' ; '))), e => done(['axe: ' + e]))"
    )
    assert not found, f"{name}: {found}"


def measure_loading(browser):
    """Bytes of a page without art, and how much its parts moved while it was loaded."""
    time.sleep(0.5)
    return browser.later(
        "const done = arguments[0]; let moved = 0;"
        "new PerformanceObserver(l => { for (const e of l.getEntries()) moved += e.value }).observe({type: 'layout-shift', buffered: true});"
        "setTimeout(() => { const all = [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]"
        ".filter(e => !/picture|progress/.test(e.name)); done([all.reduce((s, e) => s + e.decodedBodySize, 0), moved]) }, 300)"
    )


def typed_order_to_plan(page):
    """A new order by the keyboard alone: typed lines, to the plan."""
    browser = page.first
    browser.go(page.root + "/orders/new")
    browser.run("document.getElementById('customer').focus()")
    browser.keys("Weir rowers")
    browser.keys(TAB + TAB + TAB + TAB + TAB)  # name, then the three parts of the day
    if browser.run("return document.activeElement.id") != "lines":
        browser.run("document.getElementById('lines').focus()")
    browser.keys("natural canvas tote 24, tote 200 mm\nsky youth tee Y-S 4 Y-M 6, full front 180 mm")
    browser.keys(TAB)
    browser.type("#art", str(ART / "kite.svg") + "\n" + str(ART / "sunset.svg"))
    browser.picture(PICTURES / "new-order.png")
    browser.run("document.querySelector('form[action=\"/orders/new\"] .next').focus()")
    browser.keys(ENTER)
    browser.until("return location.pathname.startsWith('/orders/2')")
    planned(browser)
    text = browser.text()
    for part in ("Canvas tote", "Youth tee", "Weir rowers"):
        assert part in text, part
    # The children's tees wait for an answer; given, they are priced as well.
    assert "Question" in text
    browser.click("form[action$='/answer'] button")
    browser.until("return location.search.includes('changed')")
    planned(browser)
    assert "Price goes from" in browser.text() or "price goes from" in browser.text(), browser.text()[:800]


def csv_order(page):
    """A table dropped in instead of typed lines."""
    browser = page.first
    with tempfile.NamedTemporaryFile("w", suffix=".csv", delete=False) as table:
        table.write("garment;colour;size;quantity;position;width\nrunning vest;midnight;S;3;upper back;9,5 cm\n")
        table.write("running vest;midnight;M;5;upper back;9,5 cm\n")
    browser.go(page.root + "/orders/new")
    browser.type("#customer", "Towpath runners")
    browser.run("document.querySelectorAll('details').forEach(d => d.open = true)")
    browser.type("#table", table.name)
    browser.type("#art", str(ART / "marshal.svg"))
    browser.click("form[action='/orders/new'] .next")
    browser.until("return location.pathname.startsWith('/orders/3')")
    planned(browser)
    text = browser.text()
    assert "Running vest, midnight" in text and "95 ×" in text, text[:1500]


def drag_on_garment(page):
    """Art is dragged, nudged by keys, and told when it lies badly; then planned."""
    browser = page.first
    browser.go(page.root + "/orders/2")
    planned(browser)
    browser.run("document.querySelector('form[data-place]').closest('details').open = true")
    browser.until("return document.querySelector('.place svg g.art image')")
    browser.run("document.querySelector('.place').scrollIntoView({block: 'center'})")
    box = browser.run(
        "const b = document.querySelector('.place g.art image').getBoundingClientRect();"
        "return [b.left + b.width / 2, b.top + b.height / 2]"
    )
    field = "return parseFloat(document.querySelector('form[data-place]').elements[arguments[0]].value)"
    browser.drag(*box, 60, 40)
    browser.until("return parseFloat(document.querySelector('form[data-place]').elements.right.value) > 10")
    right, up = browser.run(field, "right"), browser.run(field, "up")
    assert up < -5, (right, up)
    browser.run("document.querySelector('.place').focus()")
    browser.keys(RIGHT + RIGHT + DOWN)
    browser.until(f"return parseFloat(document.querySelector('form[data-place]').elements.right.value) === {right + 2}")
    said = "return document.querySelector('form[data-place] [role=status]').innerText"
    assert browser.run(said)
    browser.run("const f = document.querySelector('form[data-place]').elements; f.right.value = '400 mm'; f.right.dispatchEvent(new Event('input'))")
    browser.until("return /Stops|Watch/.test(document.querySelector('form[data-place] [role=status]').innerText)")
    browser.run("const f = document.querySelector('form[data-place]').elements; f.right.value = '12 mm'; f.up.value = '0 mm'")
    browser.picture(PICTURES / "drag.png")
    browser.run("document.querySelector('form[data-place] p button').click()")
    browser.until("return location.search.includes('changed')")
    planned(browser)
    assert browser.run("return document.querySelector('form[data-place]').elements.right.value") == "12 mm"


def repair_and_way(page):
    """A repair is taken back and accepted again; another way is chosen and undone."""
    browser = page.first
    browser.go(page.root + "/orders/1")
    planned(browser)
    browser.picture(PICTURES / "order.png")
    browser.run("document.querySelector('input[name=repair][value=none]').form.requestSubmit()")
    browser.until("return location.search.includes('changed')")
    planned(browser)
    browser.run("document.querySelector('input[name=repair][value=background]').form.requestSubmit()")
    browser.until("return !document.querySelector('input[name=repair][value=background]') && location.search.includes('changed')", 300)
    planned(browser)
    browser.click("button[value=finest]")
    browser.until("return document.querySelector('.wait.on')")
    planned(browser)
    assert "price goes from" in browser.text().lower()
    browser.click(".told form button")
    browser.until("return document.querySelector('.three .taken h3')?.innerText.startsWith('Everyday')", 300)


def quote_downloaded(page):
    browser = page.first
    browser.go(page.root + "/orders/1")
    planned(browser)
    head = browser.later(
        "const done = arguments[0]; fetch(document.querySelector('a[href$=\"quote-1.pdf\"]').href)"
        ".then(async r => done([r.headers.get('content-disposition'), (await r.text()).slice(0, 5)]))"
    )
    assert head[0].startswith("attachment") and head[1] == "%PDF-", head


def why_is_answered(page):
    """A figure's reasons unfold by the keyboard and fold away with Escape."""
    browser = page.first
    browser.go(page.root + "/orders/1")
    planned(browser)
    browser.run("document.querySelector('.facts .why summary').focus()")
    browser.keys(ENTER)
    assert browser.run("return document.querySelector('.facts .why').open")
    assert browser.run("return document.querySelector('.facts .why .because').innerText.length > 20")
    browser.keys(ESCAPE)
    assert not browser.run("return document.querySelector('.facts .why').open")


def press_run(page):
    """Counts at the press outlast a lost connection and a reload; a spoiled piece is given a spare."""
    browser = page.browser(wide=420, high=900)
    browser.go(page.root + "/press")
    browser.click(".runs a")
    browser.until("return navigator.serviceWorker.ready.then(() => true)")
    browser.go(browser.address())
    browser.until("return navigator.serviceWorker.controller && document.getElementById('piece').innerText.startsWith('Piece 1')")
    browser.go(browser.address())  # read through the worker, which keeps it
    browser.click("form[data-count=good] button")
    browser.until("return document.getElementById('good').innerText === '1' && !document.getElementById('waiting').innerText")
    page.stop()
    try:
        browser.click("form[data-count=good] button")
        browser.click("form[data-count=spoiled] button")
        browser.until("return /wait/.test(document.getElementById('waiting').innerText)")
        assert re.search(r"[Ss]pare", browser.run("return document.getElementById('said').innerText"))
        browser.go(browser.address())
        browser.until("return document.getElementById('good')?.innerText === '2' && document.getElementById('spoiled').innerText === '1'")
        browser.picture(PICTURES / "press-lost.png")
    finally:
        page.start()
    browser.until("return !document.getElementById('waiting').innerText")
    browser.run("localStorage.clear()")
    browser.go(browser.address())
    browser.until("return document.getElementById('good').innerText === '2' && document.getElementById('spoiled').innerText === '1'")
    # The figure of the moment takes at least a tenth of a phone's and, being capped, is legible from afar.
    assert browser.run("return parseFloat(getComputedStyle(document.getElementById('now')).fontSize)") >= 96
    browser.close()


def two_editors(page):
    """Two people change the same order: the second is told, and nothing is lost."""
    one, other = page.first, page.browser()
    for browser in (one, other):
        browser.go(page.root + "/orders/3")
        planned(browser)
        browser.run("document.querySelectorAll('#change ~ details').forEach(d => d.open = true)")
    change = "const f = document.querySelector('form[action$=\"/line\"]'); f.elements['size:M'].value = arguments[0]; f.requestSubmit()"
    one.run(change, "9")
    one.until("return location.search.includes('changed')")
    other.run(change, "7")
    other.until("return /Somebody else changed this order/.test(document.body.innerText)")
    planned(one)
    one.go(page.root + "/orders/3")
    assert one.run("return document.querySelector('form[action$=\"/line\"]').elements['size:M'].value") == "9"
    other.close()


def customer(page):
    """The customer's page by its link, which can be taken back."""
    browser = page.first
    browser.go(page.root + "/orders/1")
    planned(browser)
    browser.run("document.querySelector('form[action$=\"/link\"]').requestSubmit()")
    link = browser.until("return document.querySelector('.told code')?.innerText")
    guest = Browser(page.driver, wide=420)
    guest.go(link)
    guest.until("return document.querySelector('.three')")
    accessible(guest, "customer")
    guest.picture(PICTURES / "customer-phone.png")
    guest.close()


def everywhere(page):
    """Every page: accessible in light and dark, no wider than a phone, light, and still while it loads."""
    paths = ["/", "/orders/new", "/orders/1", "/press", "/press/1/1/1", "/heat", "/shelf", "/shelf/transfers.toml", "/people"]
    page.first.go(page.root + "/orders/1")
    planned(page.first)
    dark, phone = page.browser(dark=True), page.browser(wide=390, high=800)
    for path in paths:
        name = path.strip("/").replace("/", "-") or "today"
        page.first.go(page.root + path)
        weight, moved = measure_loading(page.first)
        assert weight < 300_000, f"{path} weighs {weight}"
        assert moved < 0.02, f"{path} moves while it loads: {moved}"
        accessible(page.first, path)
        dark.go(page.root + path)
        accessible(dark, f"{path} in the dark")
        phone.go(page.root + path)
        wide = phone.run("return document.documentElement.scrollWidth")
        assert wide <= 390, f"{path} is {wide} wide on a phone"
        if path in ("/", "/orders/1", "/press/1/1/1", "/heat"):
            page.first.go(page.root + path)
            page.first.picture(PICTURES / f"{name}.png")
            dark.picture(PICTURES / f"{name}-dark.png")
            phone.picture(PICTURES / f"{name}-phone.png")
    dark.close()
    phone.close()


def heat_moves(page):
    """Curves follow a slider within a tenth of a second."""
    browser = page.first
    browser.go(page.root + "/heat")
    before = browser.run("return document.getElementById('curves').innerHTML")
    took = browser.later(
        "const done = arguments[0], c = document.getElementById('c'), at = performance.now();"
        "new MutationObserver(() => done(performance.now() - at)).observe(document.getElementById('curves'), {childList: true});"
        "c.value = +c.value + 5; c.dispatchEvent(new Event('input'))"
    )
    assert browser.run("return document.getElementById('curves').innerHTML") != before
    assert took < 100, f"{took} ms"


def without_scripts(page):
    """Reads well without scripts; a change works as well."""
    browser = page.browser(scripts=False)
    browser.go(page.root + "/orders/1")
    browser.picture(PICTURES / "order-no-scripts.png")
    source = browser.ask("GET", "/source")
    assert "Where it goes" in source and "Kitchen apron" in source
    browser.close()


def printed(page):
    browser = page.first
    browser.go(page.root + "/orders/1")
    planned(browser)
    made = browser.cdp("Page.printToPDF", printBackground=False)
    assert len(made["data"]) > 20_000


def main():
    PICTURES.mkdir(parents=True, exist_ok=True)
    stories = [
        repair_and_way, typed_order_to_plan, csv_order, drag_on_garment, quote_downloaded, why_is_answered, press_run,
        two_editors, customer, heat_moves, without_scripts, printed, everywhere,
    ]
    wanted = sys.argv[4:]
    failed = 0
    with tempfile.TemporaryDirectory() as home:
        page = Page(home)
        try:
            for story in [story for story in stories if not wanted or story.__name__ in wanted]:
                begun = time.monotonic()
                try:
                    story(page)
                    print(f"ok   {story.__name__} ({time.monotonic() - begun:.1f} s)", flush=True)
                except Exception:
                    failed += 1
                    page.first.picture(PICTURES / f"failed-{story.__name__}.png")
                    print(f"FAIL {story.__name__}\n{traceback.format_exc()}", flush=True)
        finally:
            page.close()
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
