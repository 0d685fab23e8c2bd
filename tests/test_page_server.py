"""The server: what it tells, what it refuses, and that its description of itself is true."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from huge_picture import huge_png
from hypothesis import HealthCheck, Phase, given, settings
from page_models import drawn, king_post
from PIL import Image
from starlette.testclient import TestClient

from cli.model.file import load, save
from cli.page.desk import Desk
from cli.page.guard import Guard, Keys
from cli.page.pictures import LARGEST_UPLOAD
from cli.page.server import create_app

PORT = 4711
HOST = f"127.0.0.1:{PORT}"
ORIGIN = f"http://{HOST}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with the drawn king post and its model in it."""
    drawn(tmp_path / "king.png")
    save(tmp_path / "king.truss.json", king_post(tmp_path / "king.png"))
    return tmp_path


@pytest.fixture
def desk(folder: Path) -> Desk:
    """Return a desk with the king post."""
    desk = Desk(folder, idle_minutes=30)
    desk.open_model(folder / "king.truss.json")
    return desk


@pytest.fixture
def keys() -> Keys:
    """Return fresh keys."""
    return Keys(PORT)


@pytest.fixture
def client(desk: Desk, keys: Keys) -> Iterator[TestClient]:
    """Return a browser that has opened the address."""
    with TestClient(Guard(create_app(desk), keys), base_url=ORIGIN, headers={"origin": ORIGIN}) as browser:
        assert browser.get(keys.address.removeprefix(ORIGIN), follow_redirects=False).status_code == 303
        yield browser


def edit(client: TestClient, revision: int, **change: object) -> Any:
    """Send an edit."""
    return client.post("/api/edit", json={"revision": revision, "edit": change})


def test_state_and_edit(client: TestClient, folder: Path) -> None:
    """An edit gives the next state: revision, forces, undo; and it is in the file."""
    state = client.get("/api/state").json()
    assert state["revision"] == 1
    assert state["answer"]["solved"]
    assert {row["label"] for row in state["answer"]["members"]} == {"26.7 (T)", "33.3 (C)", "40.0 (T)"}
    after = edit(client, 1, kind="add-load", joint="B", force=[0, -40]).json()
    assert after["revision"] == 2
    assert after["undo"] == "Put a load on B"
    assert {row["label"] for row in after["answer"]["members"]} == {"53.3 (T)", "66.7 (C)", "80.0 (T)"}
    assert len(load(folder / "king.truss.json").loads) == 2
    undone = client.post("/api/undo", json={"revision": 2}).json()
    assert undone["redo"] == "Put a load on B"


def test_a_preview_changes_nothing(client: TestClient, folder: Path) -> None:
    """The answer to a change that is only tried; file, revision and history stay."""
    before = (folder / "king.truss.json").read_bytes()
    change = {"kind": "move-joint", "joint": "D", "px": [400, 100]}
    tried = client.post("/api/preview", json={"revision": 1, "edit": change}).json()
    assert tried["answer"]["members"][2]["label"] != "33.3 (C)"
    assert (folder / "king.truss.json").read_bytes() == before
    assert client.get("/api/state").json()["revision"] == 1


def test_free_bodies_balance(client: TestClient) -> None:
    """Each joint's arrows add up to nothing, to the figures they are written with."""
    for joint in client.get("/api/state").json()["answer"]["joints"]:
        total = np.zeros(2)
        for arrow in joint["free_body"]["arrows"]:
            if arrow.get("sense") == "0":
                continue
            size = float(arrow["label"].split(" N")[0].split()[-1])
            total += size * np.array(arrow["direction"])
        assert np.abs(total).max() < 0.06
        for line in joint["free_body"]["equations"]:
            head, middle, zero = line.split(" = ") if line.count(" = ") == 2 else (line[:3], "0", "0")
            sums = eval(middle.replace("−", "-").replace("·", "*"), {})  # noqa: S307  digits and signs of ours
            assert (head, zero) in {("ΣFx", "0"), ("ΣFy", "0")}
            assert abs(sums) < 0.01


def test_steps_and_sections(client: TestClient) -> None:
    """The walk finds every member once; a section through B-C gives what the joints gave."""
    walk = client.get("/api/steps").json()
    finds = [row for step in walk["steps"] for row in step["finds"]]
    assert sorted(finds) == [0, 1, 2, 3, 4]
    assert walk["steps"][0]["title"] == "Can it be solved?"
    sections = client.get("/api/sections").json()["sections"]
    assert sections
    assert all(section["agrees"] for section in sections)
    assert any("26.67 N (T)" in line for section in sections for line in section["lines"])


def test_two_pages_and_the_disk(client: TestClient, folder: Path) -> None:
    """Stale and disk conflicts are told apart, with a sentence; either choice settles the second."""
    edit(client, 1, kind="set-title", title="One")
    stale = edit(client, 1, kind="set-title", title="Two")
    assert (stale.status_code, stale.json()["kind"]) == (409, "stale")
    save(folder / "king.truss.json", king_post(folder / "king.png", title="Elsewhere"))
    assert client.get("/api/pulse").json()["changed_on_disk"]
    disk = edit(client, 2, kind="set-title", title="Two")
    assert (disk.status_code, disk.json()["kind"]) == (409, "disk")
    taken = client.post("/api/disk", json={"choice": "take the file"}).json()
    assert taken["model"]["title"] == "Elsewhere"
    assert not client.get("/api/pulse").json()["changed_on_disk"]


@pytest.mark.parametrize(
    ("kind", "start"),
    [
        ("overlay.png", b"\x89PNG"),
        ("overlay.svg", b"<svg"),
        ("overlay.pdf", b"%PDF"),
        ("members.csv", b"start,end"),
        ("worked.pdf", b"%PDF"),
        ("handout.pdf", b"%PDF"),
        ("worksheet.pdf", b"%PDF"),
        ("key.pdf", b"%PDF"),
        ("model.json", b'{\n  "format": "panelpoint truss"'),
    ],
)
def test_exports(client: TestClient, kind: str, start: bytes) -> None:
    """Each kind is what it says, under a plain name."""
    answer = client.get(f"/api/export/{kind}")
    assert answer.status_code == 200
    assert answer.content.startswith(start)
    assert answer.headers["content-disposition"].startswith('attachment; filename="king')


def test_a_sheet_on_the_paper_and_in_the_language_asked_for(client: TestClient) -> None:
    """US letter is 612 by 792 points, unlike A4; a German sheet says so; a third language is refused."""
    sheet = client.get("/api/export/worksheet.pdf?paper=letter&language=de").content
    assert b"/MediaBox[0 0 612 792]" in sheet
    assert b"/Lang(de" in sheet
    assert b"/MediaBox[0 0 612 792]" not in client.get("/api/export/worksheet.pdf").content
    assert client.get("/api/export/worksheet.pdf?language=xx").status_code == 422


def test_an_export_without_an_answer_says_why(client: TestClient) -> None:
    """No forces, no overlay: the sentence of the solver."""
    edit(client, 1, kind="remove-support", joint="A")
    answer = client.get("/api/export/overlay.png")
    assert answer.status_code == 409
    assert answer.json()["message"]


def test_the_picture_is_upright(client: TestClient) -> None:
    """The page gets a JPEG of the size that joints are given in."""
    picture = Image.open(io.BytesIO(client.get("/api/picture").content))
    assert (picture.format, picture.size) == ("JPEG", (800, 560))


def test_an_uploaded_picture_becomes_a_model(client: TestClient, folder: Path) -> None:
    """It is stored under a name of our own beside the others, and read."""
    state = client.post("/api/photo", content=(folder / "king.png").read_bytes()).json()
    assert state["file"].startswith("photo-")
    assert len(state["answer"]["joints"]) == 4
    assert not state["model"]["confirmed"]


def test_a_picture_without_a_truss_can_be_drawn_on(client: TestClient) -> None:
    """A blank page is no error: the picture is shown, with what was seen, and takes joints."""
    blank = cv2.imencode(".png", np.full((300, 400, 3), 240, np.uint8))[1].tobytes()
    state = client.post("/api/photo", content=blank).json()
    assert state["model"]["joints"] == []
    assert any("draw the truss by hand" in words for words in state["notices"])
    after = edit(client, state["revision"], kind="add-joint", px=[30, 40])
    assert after.status_code == 200


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "not a picture"),
        (b"hello", "not a picture"),
        (b"\x89PNG\r\n\x1a\nnothing", "damaged"),
        (b"\xff\xd8\xff\xe0 cut", "damaged"),
    ],
)
def test_bad_uploads_leave_nothing_behind(
    client: TestClient, folder: Path, content: bytes, words: str
) -> None:
    """One sentence, and no file."""
    before = sorted(folder.iterdir())
    answer = client.post("/api/photo", content=content)
    assert (answer.status_code, answer.json()["kind"]) == (422, "upload")
    assert words in answer.json()["message"]
    assert str(folder) not in answer.json()["message"]
    assert sorted(folder.iterdir()) == before


def test_a_huge_upload_is_refused_before_it_is_stored(client: TestClient, folder: Path) -> None:
    """By bytes while it arrives, and by pixels before it is decoded."""
    before = sorted(folder.iterdir())

    def endless() -> Iterator[bytes]:
        for _ in range(LARGEST_UPLOAD // 1_000_000 + 2):
            yield bytes(1_000_000)

    assert client.post("/api/photo", content=endless()).status_code == 413
    answer = client.post("/api/photo", content=huge_png())
    assert answer.status_code == 422
    assert "limit" in answer.json()["message"]
    assert sorted(folder.iterdir()) == before


def test_no_path_of_the_client_reaches_the_file_system(client: TestClient, folder: Path) -> None:
    """Names are looked up among the page's parts and the kinds of export; nothing else answers."""
    for name in (
        "../guard.py",
        "%2e%2e%2fguard.py",
        "..%5cguard.py",
        "/etc/passwd",
        "king.png",
        "",
        "index.html%00",
    ):
        assert client.get(f"/app/{name}").status_code in {404, 405}
    for name in ("../king.png", "king.png", "overlay.exe", "%2e%2e%2fking.png"):
        assert client.get(f"/api/export/{name}").status_code in {404, 422}
    before = sorted(folder.iterdir())
    answer = client.post(
        "/api/photo", content=b"BM", headers={"content-disposition": 'filename="../../evil.bmp"'}
    )
    assert answer.status_code == 422
    assert sorted(folder.iterdir()) == before


def test_the_page_itself(client: TestClient) -> None:
    """Html, css and js come with strict headers, without inline script or style."""
    front = client.get("/")
    assert "<script" in front.text
    assert "style=" not in front.text
    assert "onclick" not in front.text
    assert "licensed engineer" in front.text
    assert "unsafe" not in front.headers["content-security-policy"]
    assert front.headers["x-content-type-options"] == "nosniff"
    assert client.get("/app/main.mjs").headers["content-type"].startswith("text/javascript")
    assert "#00797a" in client.get("/app/palette.css").text


class TestWhoMayTalk:
    """The door: token, cookie, Host, Origin."""

    def stranger(self, desk: Desk, keys: Keys, **headers: str) -> TestClient:
        """Return a browser without a cookie."""
        return TestClient(Guard(create_app(desk), keys), base_url=ORIGIN, headers=headers)

    def test_without_the_cookie_nothing_answers(self, desk: Desk, keys: Keys) -> None:
        """Neither the page nor its data."""
        for path in ("/", "/api/state", "/api/picture", "/openapi.json", "/app/main.mjs"):
            answer = self.stranger(desk, keys).get(path)
            assert answer.status_code == 403
            assert "king" not in answer.text

    def test_the_address_works_once(self, desk: Desk, keys: Keys) -> None:
        """A second use is refused, and the next address was announced."""
        told: list[str] = []
        keys = Keys(PORT, told.append)
        first = keys.address
        path = first.removeprefix(ORIGIN)
        answer = self.stranger(desk, keys).get(path, follow_redirects=False)
        assert answer.status_code == 303
        cookie = answer.headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie
        assert self.stranger(desk, keys).get(path).status_code == 403
        assert told == [keys.address]
        assert keys.address != first

    def test_a_wrong_token_is_refused(self, desk: Desk, keys: Keys) -> None:
        """Guessing leads nowhere, and does not use the token up."""
        for token in ("", "x", "é", keys.cookie):
            assert self.stranger(desk, keys).get("/open", params={"token": token}).status_code == 403
        assert (
            self.stranger(desk, keys)
            .get(keys.address.removeprefix(ORIGIN), follow_redirects=False)
            .status_code
            == 303
        )

    def test_another_host_name_is_refused(self, client: TestClient) -> None:
        """A name that a stranger's DNS points at this computer does not open the page, cookie or not."""
        for host in (
            "evil.example",
            f"evil.example:{PORT}",
            "127.0.0.1",
            "127.0.0.1:80",
            f"0.0.0.0:{PORT}",
            "",
        ):
            assert client.get("/api/state", headers={"host": host}).status_code == 403

    @pytest.mark.parametrize(
        "headers",
        [
            {"origin": "http://evil.example"},
            {"origin": "null"},
            {"origin": f"http://localhost:{PORT}"},
            {"origin": "http://127.0.0.1:1"},
            {"sec-fetch-site": "cross-site"},
            {"sec-fetch-site": "same-site"},
        ],
    )
    def test_another_site_is_refused(self, client: TestClient, headers: dict[str, str]) -> None:
        """Whatever does not come from the page's own origin, cookie or not."""
        answer = client.post("/api/undo", json={"revision": 1}, headers=headers)
        assert (answer.status_code, answer.json()["kind"]) == (403, "forbidden")

    def test_a_change_without_an_origin_is_refused(self, desk: Desk, keys: Keys) -> None:
        """A browser always sends one with a change; looking needs none."""
        browser = self.stranger(desk, keys)
        browser.get(keys.address.removeprefix(ORIGIN), follow_redirects=False)
        assert browser.get("/api/state").status_code == 200
        assert browser.post("/api/undo", json={"revision": 1}).status_code == 403

    def test_nothing_but_http(self, client: TestClient) -> None:
        """Odd methods are answered, not served."""
        for method in ("PUT", "DELETE", "PATCH", "TRACE"):
            assert client.request(method, "/api/state").status_code == 405


def test_the_description_is_true(desk: Desk, keys: Keys) -> None:
    """Schemathesis sends what the OpenAPI description allows, and what it forbids; every answer fits it."""
    schemathesis = pytest.importorskip("schemathesis", reason="schemathesis is not installed")

    guarded = Guard(create_app(desk), keys)
    cookie = f"{keys.cookie_name}={keys.cookie}"
    headers = {"host": HOST, "origin": ORIGIN, "cookie": cookie}
    schema = schemathesis.openapi.from_asgi("/openapi.json", guarded, headers=headers)
    operations = [result.ok() for result in schema.get_all_operations()]
    assert len(operations) >= 12
    for operation in operations:
        _fits(operation, headers)


def _fits(operation: Any, headers: dict[str, str]) -> None:
    """Try one operation with what its description allows and forbids."""
    from schemathesis.checks import positive_data_acceptance  # noqa: PLC0415  only where it is installed

    # A description cannot say which bytes are a picture: most that it allows are refused.
    excluded = [positive_data_acceptance] if operation.path == "/api/photo" else []

    @given(case=operation.as_strategy())
    @settings(
        max_examples=15,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def check(case: Any) -> None:
        case.call_and_validate(headers=headers, excluded_checks=excluded)

    check()
