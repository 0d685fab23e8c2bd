"""The page in a browser, as a person uses it: by mouse, by keyboard alone, by touch.

The king post's forces are those of its 3-4-5 triangles, worked by hand: with 40 N at B each reaction is 20 N,
so A-D carries 20 / 0.6 = 33.3 N in compression, A-B 33.3 x 0.8 = 26.7 N in tension, and B-D takes the load.
"""

from __future__ import annotations

import base64
import importlib.util
import json
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from page_browser import AXE, CHROMIUM, LONGEST, Sheet, axe_faults, bring_axe, chromium, empty_desk, served
from page_models import MEMBERS, PLACES, drawn, king_post

from cli.model.file import Model, load, save
from cli.page.desk import Desk

pytestmark = [
    pytest.mark.skipif(importlib.util.find_spec("playwright") is None, reason="playwright is not installed"),
    pytest.mark.skipif(
        CHROMIUM is None, reason="no Chromium on this machine (Debian: apt-get install chromium)"
    ),
]

EXPECTED = ("409", "422", "ERR_FAILED")
FORCES = {"AB": "26.7 T", "BC": "26.7 T", "AD": "33.3 C", "CD": "33.3 C", "BD": "40.0 T"}


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Start one Chromium for the file."""
    with chromium() as started:
        yield started


@pytest.fixture
def opened(browser: Any) -> Iterator[Callable[..., Sheet]]:
    """Open a desk in a fresh window; at the end, nothing may have gone wrong or out on any page."""
    with ExitStack() as stack:
        troubles: list[str] = []
        addresses: dict[int, tuple[Any, str]] = {}

        def abroad(url: str, home: str) -> None:
            if not url.startswith((home, "blob:", "data:")):
                troubles.append(url)

        def complaint(kind: str, words: str) -> None:
            # A refusal and a program that is gone are part of the tests; Chromium calls them errors too.
            if kind == "error" and not any(known in words for known in EXPECTED):
                troubles.append(words)

        def open_(desk: Desk, **window: Any) -> Sheet:
            if id(desk) in addresses:
                context, address = addresses[id(desk)]
            else:
                keys = stack.enter_context(served(desk))
                context = browser.new_context(**{"viewport": {"width": 1280, "height": 800}, **window})
                stack.callback(context.close)
                context.on("weberror", lambda error: troubles.append(str(error.error)))
                address = f"http://127.0.0.1:{keys.port}/"
                addresses[id(desk)] = (context, address)
                context.new_page().goto(keys.address)
                context.pages[0].close()
            page = context.new_page()
            page.set_default_timeout(1000 * LONGEST)
            page.on("request", lambda request: abroad(request.url, address))
            page.on("console", lambda said: complaint(said.type, said.text))
            page.goto(address)
            sheet = Sheet(page)
            sheet.ready()
            return sheet

        yield open_
        assert troubles == []


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with the drawn king post in it."""
    drawn(tmp_path / "king.png")
    return tmp_path


def desk_of(folder: Path, model: Model) -> Desk:
    """Return a desk with a model of the drawn picture."""
    save(folder / "king.truss.json", model)
    desk = empty_desk(folder)
    desk.open_model(folder / "king.truss.json")
    return desk


def bare(folder: Path, **changes: object) -> Model:
    """Return the king post as read: no support, load or dimension yet."""
    return king_post(folder / "king.png", confirmed=False, supports=[], loads=[], dimensions=[], **changes)


def test_a_worksheet_from_drop_to_overlay_by_mouse(opened: Callable[..., Sheet], folder: Path) -> None:
    """Drop the picture, put on a pin, a roller, a dragged load and a length; confirm; export the overlay."""
    kept = folder / "kept"
    kept.mkdir()
    sheet = opened(empty_desk(kept))
    page = sheet.page
    assert "Drop a photograph" in sheet.text("#empty")
    picture = base64.b64encode((folder / "king.png").read_bytes()).decode()
    page.evaluate(
        """(picture) => {
            const bytes = Uint8Array.from(atob(picture), (sign) => sign.charCodeAt(0));
            const data = new DataTransfer();
            data.items.add(new File([bytes], "king.png", { type: "image/png" }));
            const how = { dataTransfer: data, bubbles: true, cancelable: true };
            for (const kind of ["dragenter", "dragover", "drop"])
                document.body.dispatchEvent(new DragEvent(kind, how));
        }""",
        picture,
    )
    sheet.wait("the reading", lambda: len(sheet.joints()) == 4)
    sheet.tool("support")
    sheet.press("A")
    page.click("#popup >> text=Pin")
    sheet.press("C")
    page.click("#popup .menu >> text=Roller")
    sheet.wait("the supports", lambda: "pin at A, roller at C" in sheet.text("#tasks"))
    sheet.tool("load")
    x, y = sheet.joint("B")
    sheet.drag((x, y), (x + 3, y + 80))
    sheet.answer("size", "40")
    sheet.solved()
    sheet.tool("length")
    sheet.press("A")
    sheet.press("C")
    sheet.answer("value", "60 cm")
    sheet.wait("the length", lambda: "600 mm" in sheet.text("#given"))
    sheet.wait("the forces", lambda: sheet.members() == FORCES)
    page.click("#confirm")
    sheet.wait("the confirmation", lambda: "Confirmed" in sheet.text("#tasks"))
    page.click("#keep")
    assert "false" not in sheet.text("#popup")
    with page.expect_download() as coming:
        page.click("#popup >> text=PNG")
    overlay = cv2.imread(str(coming.value.path()))
    assert overlay.shape[1] >= 800
    page.click("#keep")
    with page.expect_download() as coming:
        page.click("#popup >> text=Clean worksheet")
    assert Path(coming.value.path()).read_bytes().startswith(b"%PDF")
    (model,) = kept.glob("*.truss.json")
    saved = load(model)
    assert saved.confirmed
    assert saved.dimensions[0].value == 600
    assert saved.loads[0].force == (0, -40)


def test_the_same_by_keyboard_alone(opened: Callable[..., Sheet], folder: Path) -> None:
    """Tab to the picture, arrows from joint to joint, Enter for what can be done: no mouse at all."""
    sheet = opened(desk_of(folder, bare(folder)))
    keys = sheet.page.keyboard

    def go_to(name: str) -> None:
        for _ in range(4):
            focused = sheet.page.evaluate("() => document.activeElement.dataset?.key ?? ''")
            if focused == f"joint {name}":
                return
            here = PLACES[focused.split()[1]]
            there = PLACES[name]
            level = abs(there[0] - here[0]) > abs(there[1] - here[1])
            keys.press(
                ("ArrowRight" if there[0] > here[0] else "ArrowLeft")
                if level
                else ("ArrowDown" if there[1] > here[1] else "ArrowUp")
            )
        raise AssertionError(f"{name} was not reached")

    for _ in range(12):
        keys.press("Tab")
        if sheet.page.evaluate("() => document.activeElement.classList.contains('joint')"):
            break
    go_to("A")
    keys.press("Enter")
    keys.press("Enter")  # Support… is the first of what can be done
    keys.press("Enter")  # Pin is the first of the supports
    sheet.wait("the pin", lambda: "pin at A" in sheet.text("#tasks"))
    go_to("C")
    keys.press("Enter")
    keys.press("Enter")
    keys.press("Tab")  # from Pin to Roller
    keys.press("Enter")
    sheet.wait("the roller", lambda: "roller at C" in sheet.text("#tasks"))
    go_to("B")
    keys.press("Enter")
    keys.press("Tab")  # from Support… to Load…
    keys.press("Enter")
    keys.type("40 N")
    keys.press("Enter")
    sheet.solved()
    assert sheet.members() == FORCES
    go_to("D")
    keys.press("Shift+ArrowUp")
    sheet.wait("the move", lambda: "Move joint D" in (sheet.page.get_attribute("#undo", "title") or ""))
    keys.press("Control+z")
    sheet.wait("the undo", lambda: sheet.members() == FORCES)
    keys.press("]")
    assert sheet.page.evaluate("() => document.activeElement.dataset.key").startswith("member")
    sheet.wait("the card", lambda: "Member" in sheet.text("#card"))
    keys.press("Delete")
    sheet.wait("the mechanism", lambda: "move" in sheet.text("#headline"))
    keys.press("Control+z")
    sheet.solved()


def test_touch(opened: Callable[..., Sheet], folder: Path) -> None:
    """A finger drags a joint off and it snaps back to the ink's crossing; two fingers zoom."""
    off = bare(folder)
    joints = tuple(
        joint.model_copy(update={"px": (410.0, 190.0)}) if joint.name == "D" else joint
        for joint in off.joints
    )
    desk = desk_of(folder, off.model_copy(update={"joints": joints}))
    sheet = opened(desk, has_touch=True, is_mobile=True, viewport={"width": 390, "height": 844})
    session = sheet.page.context.new_cdp_session(sheet.page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        places = [{"x": x, "y": y, "id": number} for number, (x, y) in enumerate(points)]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})

    x, y = sheet.joint("D")
    touch("touchStart", (x, y))
    for step in range(1, 6):
        touch("touchMove", (x - step, y - 2 * step))
    sheet.wait("the lens", lambda: sheet.page.query_selector(".lens"))
    touch("touchEnd")
    sheet.shown("Move joint D")
    placed = desk.document.now().model.joints[3].px
    assert placed is not None
    assert np.hypot(placed[0] - 400, placed[1] - 175) < 3.0
    before = abs(sheet.joint("C")[0] - sheet.joint("A")[0])
    touch("touchStart", (150, 200), (250, 200))
    touch("touchMove", (120, 200), (280, 200))
    touch("touchMove", (100, 200), (300, 200))
    touch("touchEnd")

    def grown() -> bool:
        return abs(sheet.joint("C")[0] - sheet.joint("A")[0]) == pytest.approx(2 * before, rel=0.02)

    sheet.wait("twice the size", grown)
    sheet.tool("support")
    sheet.page.click("#zoom-fit")
    sheet.page.touchscreen.tap(*sheet.joint("A"))
    sheet.page.click("#popup >> text=Pin")
    sheet.wait("the pin", lambda: "pin at A" in sheet.text("#tasks"))


def test_a_reading_with_three_faults_put_right(opened: Callable[..., Sheet], folder: Path) -> None:
    """A joint off its place, a missing member and a doubtful one too many: mended on the picture."""
    read = bare(
        folder,
        joints=[
            {
                "name": name,
                "px": [430, 200] if name == "D" else list(place),
                "px_error": 1.0,
                "confidence": 0.95,
            }
            for name, place in PLACES.items()
        ]
        + [{"name": "E", "px": [560, 250], "px_error": 3.0, "confidence": 0.4}],
        members=[{"joints": list(pair), "confidence": 0.95} for pair in MEMBERS if pair != "BD"]
        + [{"joints": ["D", "E"], "confidence": 0.3}],
    )
    desk = desk_of(folder, read)
    sheet = opened(desk)
    assert "1 of 2" in sheet.text("#looks")
    assert "Is there a member D–E?" in sheet.text("#looks")
    sheet.page.click("#looks >> text=Delete it")
    sheet.wait("the next look", lambda: "Is there a joint at E?" in sheet.text("#looks"))
    sheet.page.click("#looks >> text=Delete it")
    sheet.wait("an empty list", lambda: sheet.text("#looks") == "")
    x, y = sheet.joint("D")
    sheet.drag((x, y), (x - 31, y - 27))
    sheet.shown("Move joint D")
    sheet.tool("draw")
    sheet.drag(sheet.joint("B"), sheet.joint("D"))
    sheet.wait("the member", lambda: len(desk.document.now().model.members) == 5)
    mended = desk.document.now().model
    assert {frozenset(member.joints) for member in mended.members} == {frozenset(pair) for pair in MEMBERS}
    assert mended.joints[3].px == pytest.approx((400, 175), abs=3)


def test_undo_across_a_reload(opened: Callable[..., Sheet], folder: Path) -> None:
    """What was done before the page was loaded anew can be undone, and done again."""
    desk = desk_of(folder, king_post(folder / "king.png"))
    sheet = opened(desk)
    sheet.page.click("#given li:has-text('Load on B') >> text=Change")
    sheet.answer("size", "80")
    sheet.wait("the change", lambda: sheet.members()["BD"] == "80.0 T")
    sheet.page.reload()
    sheet.ready()
    sheet.solved()
    sheet.page.click("#undo")
    sheet.wait("the undo", lambda: sheet.members() == FORCES)
    sheet.page.click("#redo")
    sheet.wait("the redo", lambda: sheet.members()["BD"] == "80.0 T")


def test_contradicting_dimensions_are_shown_where_they_are(
    opened: Callable[..., Sheet], folder: Path
) -> None:
    """Two halves of 300 that should add up to 700: the three are marked, leaving one out mends it."""
    halves = [
        {"kind": "across", "from": a, "to": b, "value": v} for a, b, v in (("A", "B", 300), ("B", "C", 300))
    ]
    sheet = opened(desk_of(folder, king_post(folder / "king.png", dimensions=halves)))
    sheet.tool("length")
    sheet.press("A")
    sheet.press("C")
    sheet.page.click("#popup >> text=Across")
    sheet.answer("value", "700")
    sheet.wait("the fault", lambda: "cannot all hold" in sheet.text("#looks"))
    assert len(sheet.page.query_selector_all("#stage .dimension.fault[data-row]")) == 3
    assert len(sheet.page.query_selector_all("#given li.fault")) == 3
    sheet.page.click("#looks >> text=Leave out across A–C")
    sheet.solved()


def test_an_unstable_truss_swings(opened: Callable[..., Sheet], folder: Path) -> None:
    """Without a member it moves on the picture; with reduced motion it stands still, moved."""
    square = {
        "joints": [
            {"name": n, "at": at} for n, at in {"A": [0, 0], "B": [4, 0], "C": [4, 3], "D": [0, 3]}.items()
        ],
        "members": [{"joints": list(pair)} for pair in ("AB", "BC", "CD", "AD")],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "roller"}],
        "loads": [{"joint": "D", "force": [5, 0]}],
    }
    sheet = opened(desk_of(folder, king_post(**square)))
    assert "It can move" in sheet.text("#headline")
    assert "The panel A B C D can rack." in sheet.text("#verdict")
    place = '() => document.querySelector(".ghost circle").closest("g").getAttribute("transform")'
    first = sheet.page.evaluate(place)
    sheet.wait("a movement", lambda: sheet.page.evaluate(place) != first)
    sheet.page.emulate_media(reduced_motion="reduce")
    sheet.page.reload()
    sheet.page.wait_for_selector(".ghost circle")
    still = sheet.page.evaluate(place)
    sheet.page.wait_for_timeout(120)
    assert sheet.page.evaluate(place) == still
    sheet.tool("draw")
    sheet.drag(sheet.joint("A"), sheet.joint("C"))
    sheet.solved()
    assert sheet.members()["AD"] == "0 0"


def test_too_many_members_light_up(opened: Callable[..., Sheet], folder: Path) -> None:
    """A second diagonal makes a panel indeterminate: its six members are lit."""
    braced = {
        "joints": [
            {"name": n, "at": at} for n, at in {"A": [0, 0], "B": [4, 0], "C": [4, 3], "D": [0, 3]}.items()
        ],
        "members": [{"joints": list(pair)} for pair in ("AB", "BC", "CD", "AD", "AC", "BD")],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "roller"}],
        "loads": [{"joint": "D", "force": [5, 0]}],
    }
    sheet = opened(desk_of(folder, king_post(**braced)))
    assert "indeterminate" in sheet.text("#headline")
    assert "m + r = 6 + 3 = 9  >  2j = 2 × 4 = 8" in sheet.text("#verdict")
    assert len(sheet.page.query_selector_all("#stage .glow")) == 6


def test_painting_anew_touches_only_what_differs(opened: Callable[..., Sheet], folder: Path) -> None:
    """Elements stay by their keys, in any order; text, attributes, listeners and leftovers follow."""
    sheet = opened(desk_of(folder, king_post(folder / "king.png")))
    found = sheet.page.evaluate(
        """async () => {
            const { paint, v } = await import("/app/paint.mjs");
            const root = document.createElement("div");
            document.body.append(root);
            let pressed = "";
            const button = (key, words) =>
                v("button", { key, class: words, onclick: () => (pressed += words) }, words);
            const last = [null, v("p", { hidden: true }, "x ", v("i"), 7)];
            paint(root, "one", button("a", "A"), button("b", "B"), last);
            const [a, b] = root.querySelectorAll("button");
            b.focus();
            paint(root, button("b", "B2"), button("c", "C"), v("p", { title: "t" }, "x ", v("i"), 8), false);
            const here = root.querySelector("button");
            here.click();
            const kept = [here === b, document.activeElement === b, a.isConnected, pressed];
            const html = root.innerHTML;
            paint(root, button("c", "C"), button("b", "B3"), v("svg", {}, v("path")));
            const order = [...root.querySelectorAll("button")].map((one) => one.textContent).join(" ");
            const spaces = [root.lastChild.namespaceURI, root.lastChild.firstChild.namespaceURI];
            root.remove();
            return { kept, html, order, spaces };
        }"""
    )
    assert found["kept"] == [True, True, False, "B2"]
    assert found["html"] == (
        '<button class="B2">B2</button><button class="C">C</button><p title="t">x <i></i>8</p>'
    )
    assert found["order"] == "C B3"
    assert found["spaces"] == ["http://www.w3.org/2000/svg"] * 2


def test_step_by_step_with_the_arrow_keys(opened: Callable[..., Sheet], folder: Path) -> None:
    """Forces appear as they are found, forward and back; the projector makes the letters larger."""
    sheet = opened(desk_of(folder, king_post(folder / "king.png")))
    sheet.page.click("#steps")
    sheet.page.wait_for_selector("#walk-next")
    keys = sheet.page.keyboard

    def shown() -> int:
        return len(sheet.page.query_selector_all("#stage .member.T, #stage .member.C, #stage .member.zero"))

    assert "Can it be solved?" in sheet.text("#walk")
    assert shown() == 0
    counts = []
    while not sheet.page.is_disabled("#walk-next"):
        title = sheet.text("#walk h2 + .quiet")
        keys.press("ArrowRight")
        sheet.wait("the next step", lambda before=title: sheet.text("#walk h2 + .quiet") != before)
        counts.append(shown())
    assert counts == sorted(counts)
    assert counts[-1] == 5
    keys.press("Home")
    sheet.wait("the first step", lambda: shown() == 0)
    size = "() => parseFloat(getComputedStyle(document.querySelector('#walk .body')).fontSize)"
    before = sheet.page.evaluate(size)
    sheet.page.click("#walk-project")
    assert sheet.page.evaluate(size) > 1.4 * before
    keys.press("Escape")
    sheet.wait("the end", lambda: sheet.text("#walk") == "")


def test_two_tabs(opened: Callable[..., Sheet], folder: Path) -> None:
    """A second tab that has not seen the latest change overwrites nothing and shows the newest state."""
    desk = desk_of(folder, king_post(folder / "king.png"))
    one, other = opened(desk), opened(desk)
    deaf(other)
    one.page.bring_to_front()
    one.page.click("#given li:has-text('Load on B') >> text=Change")
    one.answer("size", "80")
    one.wait("the change", lambda: one.members()["BD"] == "80.0 T")
    other.page.bring_to_front()
    other.page.click("#given li:has-text('Load on B') >> text=Change")
    other.answer("size", "10")
    other.wait("the newest state", lambda: other.members()["BD"] == "80.0 T")
    assert desk.document.now().model.loads[0].force == (0, -80)
    assert "another tab" in other.text("#notice")
    assert desk.document.now().revision == 2


def test_a_tab_left_alone_takes_up_what_another_changed(opened: Callable[..., Sheet], folder: Path) -> None:
    """The pulse alone brings it the newest state."""
    desk = desk_of(folder, king_post(folder / "king.png"))
    one, other = opened(desk), opened(desk)
    other.page.bring_to_front()
    one.page.evaluate(
        """async () => {
            const { edit } = await import("/app/app.mjs");
            await edit({ kind: "change-load", row: 0, force: [0, -80] });
        }"""
    )
    other.wait("the newest state", lambda: other.members()["BD"] == "80.0 T")


def deaf(sheet: Sheet) -> None:
    """Let a page's pulses tell it that nothing happened elsewhere: its next edit is what finds out."""
    quiet = {"revision": 1, "changed_on_disk": False}
    sheet.page.route("**/api/pulse", lambda route: route.fulfill(json=quiet))


@pytest.mark.parametrize("by_an_edit", [True, False], ids=["by the next edit", "by the pulse"])
def test_a_file_changed_elsewhere_is_asked_about(
    opened: Callable[..., Sheet], folder: Path, *, by_an_edit: bool
) -> None:
    """The page asks before anything is overwritten; the next edit finds it, or the pulse before it."""
    desk = desk_of(folder, king_post(folder / "king.png"))
    sheet = opened(desk)
    if by_an_edit:
        deaf(sheet)
    save(desk.document.path, king_post(folder / "king.png", title="From the editor"))
    if by_an_edit:
        sheet.page.click("#given li:has-text('Load on B') >> text=Change")
        sheet.answer("size", "80")
    sheet.page.wait_for_selector("#talk[open]")
    assert load(desk.document.path).title == "From the editor"
    sheet.page.click("#talk >> text=Show the file")
    sheet.wait("the file", lambda: "From the editor" in sheet.text("#title"))
    assert desk.document.now().undo_says is not None


def test_when_the_program_ends_the_page_says_so(opened: Callable[..., Sheet], folder: Path) -> None:
    """A page without its program keeps showing the model and says where it is saved."""
    sheet = opened(desk_of(folder, king_post(folder / "king.png")))
    sheet.page.context.route("**/api/**", lambda route: route.abort())
    sheet.page.click("[data-tool=support]")
    sheet.press("A")
    sheet.page.click("#popup >> text=No support")
    sheet.wait("the notice", lambda: "has ended" in sheet.text("#notice"))
    assert sheet.members() == FORCES
    sheet.page.context.unroute("**/api/**")


@pytest.mark.skipif(AXE is None, reason="axe-playwright-python is not installed")
@pytest.mark.parametrize("look", ["light", "dark", "phone"])
def test_axe_finds_nothing(opened: Callable[..., Sheet], folder: Path, look: str) -> None:
    """axe-core (Deque) over the solved page, a popup, the menus, the help, the steps and the empty page."""
    window: dict[str, Any] = {"color_scheme": "dark"} if look == "dark" else {}
    if look == "phone":
        window = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
    sheet = opened(
        desk_of(
            folder,
            king_post(
                folder / "king.png",
                confirmed=False,
                loads=[
                    {"joint": "B", "force": [0, -40]},
                    {"joint": "D", "px_direction": [0, 1], "confidence": 0.5},
                ],
            ),
        ),
        bypass_csp=True,
        **window,
    )
    bring_axe(sheet.page)

    def check(where: str) -> None:
        assert axe_faults(sheet.page) == [], where

    check("solved")
    sheet.page.click("#strength >> text=Say what it is made of")
    check("stock")
    sheet.answer("stock", "birch 10 x 2 mm")
    sheet.wait("the ranking", lambda: "buckles first" in sheet.text("#strength"))
    sheet.page.click("#strength >> text=How near to failing")
    check("strength")
    sheet.page.click("#table tbody button >> nth=0")
    sheet.wait("the card", lambda: "Member A–B" in sheet.text("#card"))
    check("card")
    sheet.page.keyboard.press("Escape")
    sheet.page.evaluate("() => scrollTo(0, 0)")
    sheet.press("A")
    sheet.page.wait_for_selector("#popup h2")
    check("popup")
    sheet.page.click("#popup >> text=Load…")
    sheet.page.wait_for_selector("#popup input[name=size]")
    sheet.page.fill("#popup input[name=size]", "heavy")
    sheet.page.keyboard.press("Enter")
    sheet.wait("the fault", lambda: "Give a number" in sheet.text("#popup"))
    check("wrong answer")
    sheet.page.keyboard.press("Escape")
    sheet.page.click("#keep")
    check("export")
    sheet.page.keyboard.press("Escape")
    sheet.page.click("#more")
    check("menu")
    sheet.page.click("#popup >> text=Keys and help")
    check("help")
    sheet.page.keyboard.press("Escape")
    sheet.page.click("#steps")
    sheet.page.wait_for_selector("#walk-next")
    sheet.page.keyboard.press("ArrowRight")
    check("steps")


@pytest.mark.parametrize(
    "size", [{"width": 390, "height": 844}, {"width": 640, "height": 400}], ids=["phone", "200 % zoom"]
)
def test_small_windows(opened: Callable[..., Sheet], folder: Path, size: dict[str, int]) -> None:
    """Nothing sticks out sideways, and every control is at least 24 pixels large (WCAG 2.2, 2.5.8)."""
    sheet = opened(
        desk_of(folder, king_post(folder / "king.png", title="A rather long title of a footbridge")),
        viewport=size,
    )
    assert sheet.page.evaluate("() => document.documentElement.scrollWidth") <= size["width"]
    small = sheet.page.evaluate(
        """() => [...document.querySelectorAll("button, input, select")]
            .filter((one) => one.offsetParent && !one.closest(".choices"))
            .map((one) => [one.textContent || one.name, one.getBoundingClientRect()])
            .filter(([, box]) => box.width < 24 || box.height < 24).map(([words]) => words)"""
    )
    assert small == []
    sheet.press("A")
    sheet.page.wait_for_selector("#popup h2")
    box = sheet.page.evaluate('() => document.querySelector("#popup").getBoundingClientRect().toJSON()')
    assert box["left"] >= 0
    assert box["right"] <= size["width"]


def test_everything_else_that_can_be_given(opened: Callable[..., Sheet], folder: Path) -> None:
    """Inclined roller, deck load, self-weight, level, units, name, a split member, an erased joint, view."""
    desk = desk_of(folder, king_post(folder / "king.png"))
    sheet = opened(desk)
    page = sheet.page

    def model() -> Model:
        return desk.document.now().model

    sheet.tool("support")
    sheet.press("C")
    sheet.answer("angle", "120")
    sheet.wait("the incline", lambda: model().supports[1].normal is not None)
    assert model().supports[1].normal == pytest.approx((-0.5, np.sqrt(0.75)), abs=1e-9)
    sheet.tool("move")
    page.click("#more")
    page.click("#popup >> text=Load along the deck")
    sheet.press("A")
    sheet.press("C")
    sheet.answer("size", "0.05")
    sheet.wait("the deck load", lambda: len(model().deck_loads) == 1)
    assert model().deck_loads[0].joints == ("A", "B", "C")
    page.click("#more")
    page.click("#popup >> text=Self-weight")
    sheet.answer("weight", "0.002")
    sheet.wait("the weight", lambda: model().self_weight == 0.002)
    page.click("#more")
    page.click("#popup >> text=Level from two joints")
    sheet.press("A")
    sheet.press("B")
    sheet.wait("the level", lambda: model().level == ("A", "B"))
    page.click("#more")
    page.click("#popup >> text=Units")
    page.select_option("#popup select[name=force]", "lbf")
    page.click("#popup >> text=Keep them")
    page.click("#popup >> text=Use these")
    sheet.wait("the units", lambda: model().units.force == "lbf" and "lbf" in sheet.text("#table"))
    sheet.press("D")
    page.click("#popup >> text=Rename")
    sheet.answer("name", "Top")
    sheet.wait("the name", lambda: "Top" in sheet.joints())
    sheet.tool("draw")
    (ax, ay), (bx, by) = sheet.joint("A"), sheet.joint("B")
    page.mouse.click((ax + bx) / 2, (ay + by) / 2)
    sheet.wait("the split", lambda: len(model().members) == 6 and "D" in sheet.joints())
    sheet.tool("erase")
    sheet.press("D")
    sheet.wait("the erased joint", lambda: len(model().joints) == 4)
    page.click("#more")
    page.click("#popup >> text=View from a rectangle")
    page.wait_for_selector(".view-corner")
    box = '() => document.querySelector(".view-corner").getBoundingClientRect().toJSON()'
    corner = page.evaluate(box)
    start = (corner["x"] + corner["width"] / 2, corner["y"] + corner["height"] / 2)
    sheet.drag(start, (start[0] - 20, start[1] - 10))
    page.wait_for_selector("#popup input[name=width]")
    page.fill("#popup input[name=width]", "640")
    sheet.answer("height", "448")
    sheet.wait("the view", lambda: model().view is not None)
    view = model().view
    assert view is not None
    assert view.rectangle is not None
    assert view.rectangle.corners[0] != (80, 56)


def test_a_pasted_picture_is_read(opened: Callable[..., Sheet], folder: Path) -> None:
    """An image on the clipboard, as a browser hands it over; text that is pasted is left alone."""
    kept = folder / "kept"
    kept.mkdir()
    sheet = opened(empty_desk(kept))
    paste = """(picture) => {
        const data = new DataTransfer();
        if (picture === null) data.setData("text/plain", "A truss");
        else {
            const bytes = Uint8Array.from(atob(picture), (sign) => sign.charCodeAt(0));
            data.items.add(new File([bytes], "image.png", { type: "image/png" }));
        }
        const event = new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true });
        return document.body.dispatchEvent(event);
    }"""
    assert sheet.page.evaluate(paste, None), "text is not for the page to take"
    picture = base64.b64encode((folder / "king.png").read_bytes()).decode()
    assert not sheet.page.evaluate(paste, picture), "the picture is"
    sheet.wait("the reading", lambda: len(sheet.joints()) == 4)
    assert len(list(kept.glob("photo-*.png"))) == 1


def test_which_lets_go_first(opened: Callable[..., Sheet], folder: Path) -> None:
    """Say what it is made of, see which buckles first, double that member by a press: the failure load moves.

    Compression members A-D and C-D, 375 mm long, carry 33.3 N of 40 N; a birch strip of 10 x 2 mm buckles at
    pi^2 E I / L^2 = pi^2 x 11000 x 6.667 / 375^2 = 5.147 N (Euler; modulus of birch as in the list of
    materials), so the load is 5.147 / 33.33 x 40 = 6.2 N. Two glued, 8 times as stiff, would hold 49 N.
    """
    desk = desk_of(folder, king_post(folder / "king.png"))
    sheet = opened(desk)
    page = sheet.page
    page.click("#strength >> text=Say what it is made of")
    sheet.answer("stock", "birch 10 x 2 mm")
    sheet.wait("the ranking", lambda: "buckles first at about 6.2 N" in sheet.text("#strength"))
    assert "A-D or C-D" in sheet.text("#strength") or "C-D or A-D" in sheet.text("#strength")
    assert "5 members of birch 10 × 2 mm" in sheet.text("#given")
    sheet.wait("the prediction", lambda: "(" in sheet.text("#strength .first-words"))
    page.click("#strength >> text=How near to failing")
    sheet.painted()
    assert len(page.query_selector_all("#stage .member.first")) == 2
    assert "648% (C) first" in page.evaluate('() => document.querySelector("#names").textContent')
    for start, end in (("A", "D"), ("C", "D")):
        (ax, ay), (bx, by) = sheet.joint(start), sheet.joint(end)
        page.mouse.click(0.3 * ax + 0.7 * bx, 0.3 * ay + 0.7 * by)
        page.click("#popup >> text=What it is made of")
        sheet.answer("stock", "birch 10 x 2 mm, 2 glued")
        sheet.wait("the stock", lambda: "2 glued" in (page.get_attribute("#undo", "title") or ""))
    sheet.wait("the new failure load", lambda: "first at about 49 N" in sheet.text("#strength"))
    page.click("#strength >> text=Another stock for all")
    sheet.page.fill("#popup input[name=stock]", "wood")
    page.keyboard.press("Enter")
    sheet.wait("the cure", lambda: "give material, shape and size" in sheet.text("#notice"))
    page.click("#strength .switch >> text=Forces")
    sheet.wait("the forces", lambda: len(page.query_selector_all("#stage .member.C")) == 2)


def test_the_camera(browser: Any, folder: Path) -> None:
    """A picture from the computer's camera, here Chromium's test card, is taken like any other."""
    kept = folder / "kept"
    kept.mkdir()
    with served(empty_desk(kept)) as keys:
        context = browser.new_context(permissions=["camera"])
        page = context.new_page()
        page.goto(keys.address)
        sheet = Sheet(page)
        sheet.ready()
        page.click("#camera")
        page.wait_for_selector("#talk[open] video")
        sheet.wait(
            "the camera", lambda: page.evaluate('() => document.querySelector("video").videoWidth') > 0
        )
        page.click("#talk >> text=Take the picture")
        sheet.wait("the picture", lambda: "photo-" in sheet.text("#saved"))
        context.close()
    assert len(list(kept.glob("photo-*.jpg"))) == 1


def test_the_caution_stands_on_the_page(opened: Callable[..., Sheet], folder: Path) -> None:
    """All of it, from the one place where it is worded, and the idle time."""
    sheet = opened(desk_of(folder, king_post(folder / "king.png")))
    said = sheet.text("#cautions")
    assert "licensed engineer" in said
    assert "eye protection" in said
    assert "60 minutes" in said
    assert json.dumps(said)
