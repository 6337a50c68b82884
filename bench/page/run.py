"""How fast the page answers with many orders in the store, and with fifty people at once.

usage: run.py PROGRAM [ORDERS [SHOP]]

Makes a shop of the demo's order taken so many times, each copy with its own customer, name, day and
plan (through the open history that `bondline shop export` writes and `import` takes in), serves it on
this machine, and asks the pages with ApacheBench (`ab`, Debian's apache2-utils): one after the other,
then fifty at once. Ends with 1 where a page takes longer than 50 ms at the median for one person, is
heavier than 300 kB without art, or any of the fifty gets an error. SHOP is a folder to keep the store in:
made when it is not there, used again when it is.
"""

import gzip
import hashlib
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request

PROGRAM = sys.argv[1]
ORDERS = int(sys.argv[2]) if len(sys.argv) > 2 else 10_000
DEMO = pathlib.Path(__file__).parents[2] / "demo"
TODAY = "2026-11-24"
MOST_MS, MOST_BYTES, PEOPLE = 50, 300_000, 50
NAMES = ["Weir rowers", "Towpath runners", "Kite crew", "Lock keepers", "Reed bed choir", "Ferry stage", "Meadow school"]


def run(*words):
    done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True)
    assert done.returncode in (0, 1), f"{words}: {done.stdout}{done.stderr}"
    return done.stdout


def content(form):
    """The hash over an order's text and art, by which a plan knows what it was made of."""
    text = form["text"]
    whole = f"{len(text.encode())}\n{text}"
    for name, file in sorted(form["art"].items()):
        whole += f"\n{len(name.encode())}:{name} {file['sha256']}"
    return hashlib.sha256(whole.encode()).hexdigest()


def standing(nth, at):
    """What an order waits for: a shop's mixture, half of it done with."""
    signed = {"is": "signed", "at_ms": at, "by": "Mara", "on": {"facts": {}}}
    return [
        {},
        {"dropped": "made elsewhere"},
        {"sign-off": signed, "deposit": {"is": "waived", "by": "Ines"}},
        {"dropped": "no longer wanted"},
        {"sign-off": {"is": "change-wished", "at_ms": at, "by": "Mara", "wish": "orange"}},
        {"dropped": "season over"},
        {"sign-off": signed, "deposit": {"is": "waived", "by": "Ines"}, "goods": {"is": "ordered", "at_ms": at, "by": "Ines"}},
        {"dropped": "made elsewhere"},
    ][nth % 8]


def many(folder):
    """The history of one planned order as that of many."""
    path = folder / "history.jsonl"
    lines = [json.loads(line) for line in path.read_text().splitlines()]
    order = next(line for line in reversed(lines) if line["kind"] == "order")
    plan = next(line for line in reversed(lines) if line["kind"] == "plan")
    form, made = json.loads(order["body"]), json.loads(plan["body"])
    seq = len(lines)
    with path.open("a") as out:
        for nth in range(2, ORDERS + 1):
            who = NAMES[nth % len(NAMES)]
            mine = dict(form)
            text = form["text"].replace("Kite festival crew", f"{who} {nth}").replace("Riverside kite festival", f"Order {nth}")
            mine["text"] = text.replace("2026-12-18", f"2026-12-{1 + nth % 28:02d}")
            planned = json.loads(plan["body"])
            planned["orders"][0].update(id=str(nth), version=1, content=content(mine))
            for facts in planned["facts"]:
                facts["order"] = str(nth)
                if nth % 3:
                    facts.update(waiting=0, stopped=0)  # answered: these can be quoted, signed off, bought
            mine["standing"] = standing(nth, order["at-ms"])
            for kind, body, what in (("order", mine, "order taken"), ("plan", planned, "planned")):
                seq += 1
                line = {"seq": seq, "kind": kind, "id": str(nth), "version": 1, "at-ms": order["at-ms"], "by": order["by"],
                        "what": what, "body": json.dumps(body, ensure_ascii=False, separators=(",", ":"))}
                out.write(json.dumps(line, ensure_ascii=False) + "\n")


def made(home):
    one, folder = home / "one", home / "folder"
    shop = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else home / "shop"
    if (shop / "shop.db").exists():
        return shop
    run("shop", "import", "--data", one, DEMO / "shop")
    run("order", "--data", one, "new", DEMO / "order.toml")
    run("order", "--data", one, "plan", "1", "--today", TODAY)
    run("shop", "export", "--data", one, folder)
    many(folder)
    run("shop", "import", "--data", shop, folder)
    return shop


def weight(root, cookie, path):
    """Bytes of a page with its style, scripts and type, as they go over the wire uncompressed, without art."""
    def get(address):
        return urllib.request.urlopen(urllib.request.Request(root + address, headers={"cookie": cookie})).read()
    page = get(path).decode()
    parts = set(re.findall(r'(?:href|src)="(/a/[^"]+)"', page))
    return len(page.encode()) + sum(len(get(part)) for part in parts), len(gzip.compress(page.encode()))


def asked(root, cookie, path, count, at_once):
    done = subprocess.run(
        ["ab", "-q", "-n", str(count), "-c", str(at_once), "-C", cookie, root + path], capture_output=True, text=True
    )
    text = done.stdout
    number = lambda pattern, default=0: float(found.group(1)) if (found := re.search(pattern, text)) else default
    return {
        "median": number(r"50%\s+(\d+)"),
        "p95": number(r"95%\s+(\d+)"),
        "a second": number(r"Requests per second:\s+([\d.]+)"),
        # ab counts answers of differing length as failed; only connections and refusals are.
        "errors": number(r"Connect: (\d+), Receive") + number(r"Receive: (\d+)") + number(r"Exceptions: (\d+)") + number(r"Non-2xx responses:\s+(\d+)"),
        "done": number(r"Complete requests:\s+(\d+)"),
    }


def main():
    home = pathlib.Path(tempfile.mkdtemp())
    begun = time.monotonic()
    shop = made(home)
    print(f"{ORDERS} orders made in {time.monotonic() - begun:.0f} s, {sum(f.stat().st_size for f in shop.rglob('*')) >> 20} MB")
    serving = subprocess.Popen([PROGRAM, "serve", "--shop", shop, "--listen", "127.0.0.1:0"], stdout=subprocess.PIPE, text=True)
    bad = []
    try:
        enter = next(line.split()[-1] for line in serving.stdout if "enter?token=" in line)
        root = enter.split("/enter")[0]

        class Stay(urllib.request.HTTPRedirectHandler):
            def redirect_request(self, *_):
                return None

        try:
            urllib.request.build_opener(Stay).open(enter)
        except urllib.error.HTTPError as answer:
            cookie = answer.headers["set-cookie"].split(";")[0]
        middle = ORDERS // 2
        pages = ["/", "/?q=rowers", "/?q=zzqx", "/?stage=to-quote", f"/orders/{middle}", f"/orders/{middle}/sheets/a/1", "/press", "/shelf"]
        print(f"{'page':28} {'median':>8} {'95 %':>7} {'50 at once':>12} {'95 %':>7} {'errors':>7} {'kB':>6}")
        for path in pages:
            asked(root, cookie, path, 5, 1)
            one = asked(root, cookie, path, 100, 1)
            crowd = asked(root, cookie, path, 1000, PEOPLE)
            heavy, _ = weight(root, cookie, path)
            print(f"{path:28} {one['median']:5.0f} ms {one['p95']:4.0f} ms {crowd['a second']:8.0f} /s {crowd['p95']:4.0f} ms "
                  f"{crowd['errors']:7.0f} {heavy / 1000:6.0f}", flush=True)
            if path in ("/", f"/orders/{middle}") and one["median"] >= MOST_MS:
                bad.append(f"{path} takes {one['median']} ms")
            if heavy >= MOST_BYTES:
                bad.append(f"{path} weighs {heavy} bytes")
            if crowd["errors"] or one["errors"] or crowd["done"] < 1000:
                bad.append(f"{path}: {crowd}")
    finally:
        serving.terminate()
        serving.wait()
        shutil.rmtree(home, ignore_errors=True)
    print("\n".join(bad) or "within what was set")
    sys.exit(bool(bad))


main()
