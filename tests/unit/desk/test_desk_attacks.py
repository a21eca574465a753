"""What another page, another program or a hostile file may try on the desk, and that it fails."""

from __future__ import annotations

import html.parser
import json
import os
import shutil
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_server import Served, served

from girderply.desk.guard import MOST_BODY

ROOT = Path(__file__).resolve().parents[3]
SAMPLE = ROOT / "sample_jobs" / "two-ply-howe.toml"
HOSTILE = '</script><script>alert(1)</script><img src=x onerror=alert(2)>"'


@pytest.fixture(scope="module")
def desk(tmp_path_factory) -> Iterator[Served]:
    home = tmp_path_factory.mktemp("desk")
    folder = home / "jobs"
    folder.mkdir()
    shutil.copy(SAMPLE, folder / "g1.toml")
    (home / "secret.toml").write_text('name = "SECRET-OUTSIDE"\n')
    (folder / "link.toml").symlink_to(home / "secret.toml")
    (folder / "deep").mkdir()
    shutil.copy(SAMPLE, folder / "deep" / "inner.toml")
    (folder / "elsewhere").symlink_to(home)
    (folder / "plain.txt").write_text("SECRET-TEXT")
    (folder / ".hidden.toml").write_text("# SECRET-HIDDEN")
    os.mkfifo(folder / "pipe.toml")
    text = SAMPLE.read_text().replace("Girder G1 over the foyer", HOSTILE.replace('"', '\\"'))
    (folder / "hostile.toml").write_text(text)
    with served(folder) as found:
        yield found


def test_only_this_machine_reaches_it(desk):
    others = {a[4][0] for a in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    for address in others - {"127.0.0.1"}:
        with socket.socket() as probe:
            probe.settimeout(2)
            reached = probe.connect_ex((address, desk.known.port)) == 0
        assert not reached or address.startswith("127."), address
    assert desk.desk.known.host.startswith("127.0.0.1:")


def test_the_first_address_gives_a_strict_cookie_and_is_gone_from_the_address(desk):
    answer = desk.get(f"/enter?token={desk.known.token}", Cookie=None)
    assert (answer.status, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"]
    assert cookie.startswith(f"{desk.known.cookie_name}={desk.known.cookie};")
    assert {"HttpOnly", "SameSite=strict", "Path=/"} <= {p.strip() for p in cookie.split(";")}
    assert desk.known.token not in cookie
    assert len(desk.known.token) >= 40


@pytest.mark.parametrize("token", ["", "x", "%00", "%C3%A9", "token=" * 50])
def test_a_wrong_token_gives_nothing(desk, token):
    answer = desk.get(f"/enter?token={token}", Cookie=None)
    assert answer.status == 403
    assert "set-cookie" not in answer.headers


@pytest.mark.parametrize(
    "target",
    ["/", "/girder/g1.toml", "/girder/g1.toml/state", "/shapes", "/static/desk.css", "/nothing"],
)
@pytest.mark.parametrize("cookie", [None, "girderply-desk-1=x", "other=1", "\xff"])
def test_without_the_cookie_nothing_is_shown(desk, target, cookie):
    answer = desk.get(target, Cookie=cookie)
    assert answer.status == 403
    assert b"Rivermouth" not in answer.body


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "localhost:{port}",
        "127.0.0.1",
        "[::1]:{port}",
        "127.0.0.1:{port}.evil.example",
        "127.0.0.1:1",
        "",
        None,
    ],
)
def test_a_name_that_was_made_to_lead_here_is_refused(desk, host):
    """DNS rebinding: the browser sends the name of the other page's server."""
    named = host.format(port=desk.known.port) if host else host
    for method, target in (
        ("GET", "/"),
        ("GET", f"/enter?token={desk.known.token}"),
        ("POST", "/girder/g1.toml/change"),
    ):
        answer = desk.ask(method, target, {"Host": named}, b"{}")
        assert answer.status in (400, 421)
        assert b"Rivermouth" not in answer.body
        assert "set-cookie" not in answer.headers


ORIGINS = [
    "http://evil.example",
    "null",
    "http://127.0.0.1:1",
    "https://127.0.0.1:{port}",
    "http://localhost:{port}",
    "http://127.0.0.1:{port}.evil.example",
    "",
]


@pytest.mark.parametrize("origin", ORIGINS)
def test_another_page_can_neither_ask_nor_change(desk, origin):
    before = (desk.folder / "g1.toml").read_bytes()
    heads = {"Origin": origin.format(port=desk.known.port)}
    body = json.dumps({"do": "text", "text": "stolen = 1"}).encode()
    assert desk.ask("POST", "/girder/g1.toml/change", heads, body).status == 403
    assert desk.ask("GET", "/girder/g1.toml/state", heads).status == 403
    assert (desk.folder / "g1.toml").read_bytes() == before


def test_a_change_without_any_origin_is_refused(desk):
    before = (desk.folder / "g1.toml").read_bytes()
    body = json.dumps({"do": "text", "text": "stolen = 1"}).encode()
    assert desk.ask("POST", "/girder/g1.toml/change", {"Origin": None}, body).status == 403
    assert (desk.folder / "g1.toml").read_bytes() == before


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_the_browser_says_comes_from_elsewhere_is_refused(desk, site):
    """Cookies know no port: another server of this machine is the same site, and is refused."""
    assert desk.get("/girder/g1.toml/state", Sec_Fetch_Site=site).status == 403
    assert desk.get("/girder/g1.toml/state", Sec_Fetch_Site="same-origin").status == 200


@pytest.mark.parametrize(
    "kind",
    [
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data; boundary=x",
        "",
        None,
    ],
)
def test_what_a_form_can_send_is_refused(desk, kind):
    body = json.dumps({"do": "text", "text": "stolen = 1"}).encode()
    answer = desk.ask("POST", "/girder/g1.toml/change", {"Content-Type": kind}, body)
    assert answer.status == 415


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "PATCH", "TRACE"])
def test_other_methods_are_refused(desk, method):
    answer = desk.ask(method, "/girder/g1.toml/change")
    assert answer.status == 405
    assert "access-control-allow-origin" not in answer.headers


def test_uploads_are_limited(desk):
    large = b"x" * (MOST_BODY + 1)
    assert desk.ask("POST", "/girder/g1.toml/change", {}, large).status == 413
    lying = {"Content-Length": None, "Transfer-Encoding": "chunked"}
    assert desk.ask("POST", "/girder/g1.toml/change", lying, b"1\r\nx\r\n0\r\n\r\n").status == 411
    assert desk.ask("POST", "/girder/g1.toml/change", {"Content-Length": "-1"}).status >= 400
    assert desk.get("/?" + "x" * 5000).status == 414
    assert desk.get("/").status == 200


def test_a_file_cannot_be_made_too_large_either(desk):
    answer = desk.post("/girder/g1.toml/change", {"do": "text", "text": "#" * 5_500_000})
    assert answer.status == 422
    assert (desk.folder / "g1.toml").read_bytes() == SAMPLE.read_bytes()


OUTSIDE = [
    "link.toml",
    ".hidden.toml",
    "pipe.toml",
    "deep",
    "deep/inner.toml",
    "plain.txt",
    "..",
    "../secret.toml",
    "..%2Fsecret.toml",
    "%2e%2e%2fsecret.toml",
    "..%5Csecret.toml",
    "elsewhere/secret.toml",
    "elsewhere%2Fsecret.toml",
    "%00g1.toml",
    "g1.toml%00",
    "%2Fetc%2Fpasswd",
    "C:%5Cx.toml",
    "....//secret.toml",
    "%c0%ae%c0%ae/secret.toml",
    "x" * 300 + ".toml",
    ".toml",
]


@pytest.mark.parametrize("name", OUTSIDE)
def test_nothing_outside_the_folder_is_read_or_written(desk, name):
    secret = desk.folder.parent / "secret.toml"
    before = secret.read_bytes(), sorted(p.name for p in desk.folder.parent.iterdir())
    for tail in ("", "/state", "/card"):
        answer = desk.get(f"/girder/{name}{tail}")
        assert answer.status == 404, name
        assert b"SECRET" not in answer.body
    answer = desk.post(f"/girder/{name}/change", {"do": "text", "text": "stolen = 1"})
    assert answer.status == 404
    assert b"SECRET" not in answer.body
    assert (secret.read_bytes(), sorted(p.name for p in desk.folder.parent.iterdir())) == before


@pytest.mark.parametrize(
    "name",
    [
        "../refused.html",
        "%2e%2e%2frefused.html",
        "refused.html",
        "..%2f..%2fpyproject.toml",
        "desk.css%00",
        "overview.html",
    ],
)
def test_only_files_of_ours_are_static(desk, name):
    assert desk.get(f"/static/{name}").status == 404


@pytest.mark.parametrize(
    "rules",
    [
        "../secret.toml",
        "/etc/passwd",
        "elsewhere/secret.toml",
        "link.toml",
        "..\\\\secret.toml",
        "deep/../../secret.toml",
    ],
)
def test_a_job_cannot_name_a_rule_file_outside(desk, rules):
    text = SAMPLE.read_text().replace('rules = "common-practice"', f'rules_file = "{rules}"')
    (desk.folder / "asks.toml").write_text(text)
    found = desk.get("/girder/asks.toml/state").data
    assert found["verdict"]["state"] == "unread"
    assert [f["where"] for f in found["findings"]] == ["fastening.rules_file"]
    assert "SECRET" not in json.dumps(found)
    assert "outside" in found["findings"][0]["message"]


@pytest.mark.parametrize("mark", ["../../evil", "/tmp/evil", "..", "a/b", "con", ".hidden", "\x00"])
def test_a_new_girder_stays_in_the_folder(desk, mark):
    before = sorted(p.name for p in desk.folder.parent.iterdir())
    answer = desk.post("/new", {"kind": "howe", "span": "9 m", "mark": mark, "keep": True}).data
    assert sorted(p.name for p in desk.folder.parent.iterdir()) == before
    if "name" in answer:
        assert (desk.folder / answer["name"]).is_file()
        assert desk.get(f"/girder/{answer['name']}").status == 200


def test_a_new_girder_replaces_nothing(desk):
    names = [
        desk.post("/new", {"kind": "fink", "span": "8 m", "mark": "twin", "keep": True}).data[
            "name"
        ]
        for _ in range(3)
    ]
    assert names == ["twin.toml", "twin-2.toml", "twin-3.toml"]


class _Page(html.parser.HTMLParser):
    """What a page could run by itself."""

    def __init__(self) -> None:
        super().__init__()
        self.bad: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "script" and "src" not in given and given.get("type") != "application/json":
            self.bad.append("inline script")
        self.bad += [f"{tag} {name}" for name in given if name.startswith("on") or name == "style"]
        self.bad += [f"{tag} fetched" for k in ("src", "href") if "//" in (given.get(k) or "")]
        if tag in ("style", "img", "iframe", "object", "base"):
            self.bad.append(tag)


@pytest.mark.parametrize("target", ["/", "/girder/hostile.toml", "/girder/g1.toml", "/nothing"])
def test_no_page_runs_anything_but_our_files(desk, target):
    answer = desk.get(target)
    page = _Page()
    page.feed(answer.text)
    assert page.bad == []
    assert HOSTILE not in answer.text
    policy = dict(p.split(" ", 1) for p in answer.headers["content-security-policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == "'self'"
    assert "unsafe" not in answer.headers["content-security-policy"]
    assert policy["frame-ancestors"] == policy["base-uri"] == policy["form-action"] == "'none'"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["cache-control"] == "no-store"


def test_refusals_carry_the_policy_too(desk):
    for answer in (
        desk.get("/", Cookie=None),
        desk.get("/", Host="evil.example"),
        desk.ask("PUT", "/"),
    ):
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert "server" not in answer.headers


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[]",
        b"{",
        b"null",
        b'{"do": "edits"}',
        b"[" * 100_000,
        b'{"do": "edits", "edits": [{"path": [true], "value": 1}]}',
        b'{"do": "edits", "edits": [{"path": [-1], "value": 1}]}',
        b'{"do": "edits", "edits": [{"path": [], "value": 1}]}',
        b'{"do": "edits", "edits": [{"path": ["job", "x", 3]}]}',
        b'{"do": "text", "text": 3}',
        b'{"do": "format the disk"}',
    ],
)
def test_a_malformed_change_changes_nothing(desk, body):
    answer = desk.ask("POST", "/girder/g1.toml/change", {}, body)
    assert answer.status == 400
    assert (desk.folder / "g1.toml").read_bytes() == SAMPLE.read_bytes()
