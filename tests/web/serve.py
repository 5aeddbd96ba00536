#!/usr/bin/python3
# serve.py - the server from outside: pages, the API, and everything that should not work.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: serve.py BUILD-FOLDER

Starts the server on a free port of 127.0.0.1 and ends it. Nothing but Python's own library and
python3-jsonschema; a browser has its turn in pages.mjs."""
import concurrent.futures
import http.client
import json
import re
import signal
import socket
import subprocess
import sys
import time

import jsonschema

BUILD = sys.argv[1]
passed = failed = 0


def check(good, name, why=""):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print("FAILED: %s %s" % (name, why))


server = subprocess.Popen(
    [BUILD + "/beltwright", "serve", "--port", "0", "--folder", "examples"],
    stdout=subprocess.PIPE, text=True)
PORT = int(re.search(r":(\d+)/", server.stdout.readline()).group(1))
HOST = "127.0.0.1:%d" % PORT


def ask(path, body=None, kind=None, method=None, headers=()):
    connection = http.client.HTTPConnection("127.0.0.1", PORT, timeout=60)
    extra = dict(headers)
    if kind:
        extra["Content-Type"] = kind
    try:
        connection.request(method or ("GET" if body is None else "POST"), path, body, extra)
        answer = connection.getresponse()
        return answer.status, answer.read().decode("utf-8", "replace"), answer
    except (ConnectionError, http.client.HTTPException) as reason:
        return 0, repr(reason), None
    finally:
        connection.close()


def form(fields, files=(), boundary="8a7b6c"):
    parts = []
    for name, value in fields:
        parts.append('--%s\r\nContent-Disposition: form-data; name="%s"\r\n\r\n%s\r\n'
                     % (boundary, name, value))
    for name, file_name, content in files:
        parts.append('--%s\r\nContent-Disposition: form-data; name="%s"; filename="%s"\r\n'
                     "Content-Type: application/octet-stream\r\n\r\n%s\r\n"
                     % (boundary, name, file_name, content))
    parts.append("--%s--\r\n" % boundary)
    return "".join(parts).encode(), "multipart/form-data; boundary=" + boundary


def post(path, fields, files=(), headers=(), token=None):
    body, kind = form([("token", TOKEN if token is None else token)] + fields, files)
    return ask(path, body, kind, headers=headers)


status, home, answer = ask("/")
TOKEN = re.search('name="token" value="([0-9a-f]{32})"', home).group(1)
MACHINE = open("examples/three-head.yaml").read()

# --- pages

check(status == 200, "the first page")
check("script" not in answer.headers["Content-Security-Policy"], "no script may run")
check("default-src 'none'" in answer.headers["Content-Security-Policy"], "nothing from elsewhere")
check(answer.headers["Cache-Control"] == "no-store", "a page is not kept")
check(len(home) < 50000, "the first page is small")
check(not re.search(r"(src|href)=\"(https?:)?//", home), "nothing is asked of another machine")
style = ask("/style.css?0.1.0")
check(style[0] == 200 and ".bw-plot" in style[1], "the style sheet has the plots' style")
check(ask("/healthz")[:2] == (200, "well\n"), "health")

studies = json.loads(ask("/api/studies")[1])
check(len(studies) >= 6, "the studies are listed")
for study in studies:
    name = study["name"]
    check('href="/study/%s"' % name in home, "the first page leads to " + name)
    status, page, _ = ask("/study/" + name)
    description = json.loads(ask("/api/studies/" + name)[1])
    check(status == 200, "the form of " + name)
    for kind in ("input", "output"):
        jsonschema.Draft202012Validator.check_schema(description[kind])
    definitions = description["input"].get("$defs", {})
    for key, about in description["input"]["properties"].items():
        if key == "shape" or "oneOf" in about:
            continue
        shown = re.search('name="%s(\\.[a-z0-9_.]*)?"' % key, page)
        check(shown, "%s has a control for %s" % (name, key))
    labels = set(re.findall('<label[^>]* for="([^"]+)"', page))
    for control in re.findall('<(?:input|select|textarea)[^>]* id="([^"]+)"', page):
        check(control in labels or control + "-label" in page, "%s labels %s" % (name, control))

# --- answers

FEED = [("machine.kept", "three-head.yaml"), ("feed", "24 ft/min"), ("feed.by", "display")]
status, page, _ = post("/study/rates", FEED)
check(status == 200 and "belt splice" in page, "a form is answered")
check("7.3\u00a0±\u00a00.3\u00a0m/min" in page, "how the feed is known counts")
status, page, answer = post("/study/rates", FEED, headers=[("Cookie", "units=us")])
check("24" in page and "ft/min" in page, "in the reader's units")
status, page, _ = post("/study/rates", [("feed", "24 ft/min")],
                       [("machine", "my machine.yaml", MACHINE)])
check(status == 200 and "belt splice" in page, "a file is sent")
status, page, _ = post("/study/rates", [("feed", "24 ft/min"), ("machine.text", MACHINE)],
                       [("machine", "", "")])
check(status == 200 and "belt splice" in page, "a document is typed; an empty file counts nothing")
status, page, _ = post("/study/rates", FEED[:1] + [("feed", "24 cabbages")])
check(status == 422 and 'aria-invalid="true"' in page and "24 cabbages" in page,
      "a wrong value is told where it stands, and kept")
broken = MACHINE.replace("supply: 60 Hz", "suply: 60 Hz", 1)
status, page, _ = post("/study/rates", [("feed", "24 ft/min"), ("machine.text", broken)])
check(status == 422 and "line 5" in page and "suply" in page, "a fault in a document has its line")
status, page, _ = post("/study/source", [("more", "marks"), ("marks.n", "1"),
                                         ("marks.0.pitch", "14.6 mm")])
check(status == 200 and 'name="marks.1.pitch"' in page and 'value="14.6 mm"' in page,
      "one more item")
MARKS = [("machine.kept", "three-head.yaml"), ("marks.n", "3"), ("marks.0.pitch", ""),
         ("marks.1.pitch", "14.6 mm"), ("marks.1.feed", "24 ft/min")]
status, page, _ = post("/study/source", MARKS)
check(status == 200 and "<figure><svg" in page, "plots are shown")
check(status == 200 and "Mark 1" in page, "items left empty count for nothing", page[:300])
status, page, _ = post("/study/source", MARKS[:-2] + [("marks.1.pitch", "14 kg")])
check(status == 422 and "marks.1.pitch-fault" in page or "marks[0].pitch" in page,
      "a fault in an item")

# --- the API says what the command line says

said = subprocess.run([BUILD + "/beltwright", "rates", "examples/three-head.yaml", "--feed",
                       "24 ft/min", "--json"], capture_output=True, text=True).stdout
body, kind = form([("input", json.dumps({"machine": "m", "feed": "24 ft/min"}))],
                  [("m", "x.yaml", MACHINE)])
status, text, _ = ask("/api/studies/rates", body, kind)
check(status == 200 and text == said, "the same bytes as from the command line", text[:200])
document = json.loads(ask("/api/openapi.json")[1])
check(document["openapi"].startswith("3.1"), "the API is described")
described = document["paths"]["/api/studies/rates"]["post"]
schema = described["responses"]["200"]["content"]["application/json"]["schema"]
jsonschema.Draft202012Validator(schema).validate(json.loads(text))
check(set(document["paths"]) == {"/api/studies/" + study["name"] for study in studies},
      "every study is described")
for bad, expected in (('{"machine": "/etc/passwd", "feed": "24 ft/min"}', "refused"),
                      ('{"feed": "24 ft/min"}', "input"), ("{", "syntax"), ("", "syntax"),
                      ("[" * 100000, "limit"), ('{"feed": "\\u0000"}', None)):
    status, text, _ = ask("/api/studies/rates", bad, "application/json")
    error = json.loads(text)
    check(400 <= status < 500 and error["shape"] == "error/1" and
          (expected is None or error["code"] == expected), "bad input %.20s" % bad, text[:200])
check(ask("/api/studies/nosuch", "{}", "application/json")[0] == 404, "no such study")

# --- what should not work

check(ask("/nosuch")[0] == 404, "no such page")
check(ask("/study/")[0] == 404 and ask("/study/a/b")[0] == 404, "no such study's page")
check(ask("/", method="DELETE")[0] == 405, "an unknown method")
check(ask("/", "x=1", "application/x-www-form-urlencoded")[0] == 405, "a form sent to a page")
for path in ("/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/style.css/../main.c", "//",
             "/study/..", "/study/%00rates", "/study/rates%2f..", "/" + "a" * 9000):
    status, text, _ = ask(path)
    check(status in (0, 400, 404, 414, 431) and "root:" not in text, "path %.30s" % path, status)
for host in ("example.org", "127.0.0.1", HOST + "0", "", "evil@" + HOST):
    check(ask("/", headers=[("Host", host)])[0] in (400, 421), "another host's name %s" % host)
check(ask("/", headers=[("Host", "localhost:%d" % PORT)])[0] == 200, "its own other name")
check(post("/study/rates", FEED, token="0" * 32)[0] == 403, "a wrong token")
check(post("/study/rates", FEED, token="")[0] == 403, "no token")
for origin in ("http://example.org", "null", "https://" + HOST, "http://" + HOST + ".example.org"):
    check(post("/study/rates", FEED, headers=[("Origin", origin)])[0] == 403,
          "a form of another site's page, " + origin)
check(post("/study/rates", FEED, headers=[("Origin", "http://" + HOST)])[0] == 200, "our own page")
status, _, answer = post("/settings", [("units", "us"), ("back", "//example.org/")])
check(status == 303 and answer.headers["Location"] == "/", "back to our own pages only")
check("HttpOnly" in answer.headers["Set-Cookie"], "the cookie is for us alone")
for kept in ("../README.md", "/etc/passwd", ".", "nosuch.yaml", "photos"):
    status, page, _ = post("/study/rates", [("machine.kept", kept), ("feed", "24 ft/min")])
    check(status == 422 and "root:" not in page, "a kept file %s" % kept, status)
check(ask("/study/rates", b"x" * 100, "text/plain")[0] == 415, "a body that is no form")
for rubbish in (b"rubbish", b"--xyz\r\nContent-Disposition: form-data\r\n\r\n", b"--xyz",
                b"\0" * 70000):
    status = ask("/study/rates", rubbish, "multipart/form-data; boundary=xyz")[0]
    check(status in (400, 403), "a form that is no form", status)
status, page, _ = post("/study/rates", [("feed", "9" * 3000000)])
check(status == 413, "too much text", status)
status, page, _ = post("/study/rates", [("v%d" % i, "1") for i in range(2000)])
check(status in (400, 413), "too many values", status)
status, page, _ = ask("/", headers=[("X-%d" % i, "y" * 500) for i in range(200)])
check(status in (0, 431, 413), "a flood of headers", status)

SCRIPT = "</textarea>\"'><script>alert(1)</script>"
fields = []
for study in studies:
    page = ask("/study/" + study["name"])[1]
    names = [n for n in re.findall(' name="([^"]+)"', page) if n not in ("token", "go", "more")]
    status, page, _ = post("/study/" + study["name"], [(n, SCRIPT) for n in set(names)])
    check(status in (400, 422) and "<script" not in page, "script in every field of " +
          study["name"], status)
status, page, _ = post("/study/rates", [("feed", "1 m/min")],
                       [("machine", SCRIPT.replace('"', "%22"), "heads: 5")])
check(status in (400, 422) and "<script" not in page, "script in a file's name", status)


def large(size, declared):
    """A file of that size, sent in pieces; the status, or 0 when the server hung up."""
    head = ('--qrs\r\nContent-Disposition: form-data; name="token"\r\n\r\n%s\r\n--qrs\r\n'
            'Content-Disposition: form-data; name="machine"; filename="a"\r\n\r\n' % TOKEN)
    with socket.create_connection(("127.0.0.1", PORT), timeout=60) as line:
        length = "Content-Length: %d" % (len(head) + size + 11) if declared else \
            "Transfer-Encoding: chunked"
        line.sendall(("POST /study/rates HTTP/1.1\r\nHost: %s\r\nContent-Type: multipart/form-data;"
                      " boundary=qrs\r\n%s\r\n\r\n" % (HOST, length)).encode())
        piece = b"z" * 65536

        def send(data):
            line.sendall(data if declared else b"%x\r\n%s\r\n" % (len(data), data))
        try:
            send(head.encode())
            for _ in range(size // len(piece)):
                send(piece)
            send(b"\r\n--qrs--\r\n")
            if not declared:
                line.sendall(b"0\r\n\r\n")
            return int(line.recv(64).split()[1])
        except (ConnectionError, IndexError):
            return 0


status = large(65536, True)
check(status in (400, 422), "a file that is no machine", status)
status = large(100 << 20, True)
check(status == 413, "a file too large", status)
status = large(100 << 20, False)
check(status == 413, "a file too large, its length not told", status)

# --- many at once, slow ones, broken ones

slow = []
for _ in range(20):
    line = socket.create_connection(("127.0.0.1", PORT), timeout=60)
    line.sendall(b"POST /study/rates HTTP/1.1\r\nHost: ")
    slow.append(line)
begin = time.monotonic()
check(ask("/")[0] == 200 and time.monotonic() - begin < 5, "slow senders hold nobody up")
for line in slow:
    line.close()
with concurrent.futures.ThreadPoolExecutor(40) as pool:
    answers = list(pool.map(lambda _: post("/study/source", MARKS), range(40)))
check(all(a[0] in (200, 503) for a in answers), "forty at once", [a[0] for a in answers])
check(sum(a[0] == 200 for a in answers) >= 16, "most of them are answered")
check(all(a[2].headers["Retry-After"] for a in answers if a[0] == 503), "the others come back")
line = socket.create_connection(("127.0.0.1", PORT), timeout=60)
body, kind = form([("token", TOKEN)] + MARKS)
line.sendall(("POST /study/source HTTP/1.1\r\nHost: %s\r\nContent-Type: %s\r\nContent-Length: %d"
              "\r\n\r\n" % (HOST, kind, len(body))).encode() + body)
line.close()  # whoever asked has gone
check(ask("/healthz")[0] == 200 and post("/study/rates", FEED)[0] == 200, "life goes on")

# --- the end

server.send_signal(signal.SIGTERM)
check(server.wait(timeout=20) == 0, "it ends when told")
print("%d passed, %d failed" % (passed, failed))
sys.exit(failed > 0)
