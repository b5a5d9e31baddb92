"""The app in a browser with no server and no network: a whole job, a killed phone, two tabs, an update in between."""

from __future__ import annotations

import asyncio
import hashlib
import io
import json
import re
import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Page, Playwright, sync_playwright
from pypdf import PdfReader
from tests.browser.served import FOUR, Served
from tests.web_client import Client, words
from tests.web_on_phone.phone import FOUND, Phone

from ventwright.store.database import migrations
from ventwright.store.exchange import read_copy
from ventwright.web.on_phone.archives import write_pack

SPACE = {"name": "Shop", "use": "Retail / Sales", "floor_area": "3000", "floor_area.unit": "ft2"}
PROBE = {"kind": "temperature", "name": "Probe", "accuracy": "0.5 F"}
TIMES = re.compile(r"\d\d:\d\d(:\d\d)?|\d{4}-\d\d-\d\d|[0-9a-f]{12,64}|\b[0-9a-f]{8}\b")


@pytest.fixture(scope="module")
def play() -> Iterator[Playwright]:
    """The driver of browsers."""
    if FOUND is None:
        pytest.skip("needs chromium")
    with sync_playwright() as one:
        yield one


@pytest.fixture(scope="module")
def served(phone_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server that hands the app out."""
    folder = tmp_path_factory.mktemp("app") / "phone"
    shutil.copytree(phone_folder, folder)
    one = Served(tmp_path_factory.mktemp("jobs"), "--phone", str(folder))
    one.start()
    yield one
    one.stop()
    assert "Traceback" not in one.said(), one.said()


@pytest.fixture(scope="module")
def phone(play: Playwright, served: Served, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """A phone on which the app was installed; the server is gone since."""
    one = Phone(play, tmp_path_factory.mktemp("profile"), served.address)
    one.start()
    assert one.tab.title() == "Jobs · Ventwright"
    one.close()
    served.kill()
    yield one
    one.close()


def test_a_whole_job_with_no_network(phone: Phone, tmp_path: Path) -> None:
    tab = phone.start(offline=True)
    assert phone.marks()["seen"] < phone.marks()["ready"], "the list is shown before the engine is ready"
    tab.click("text=New job")
    for name, value in FOUR.items():
        field = tab.locator(f"[name='{name}']").first
        kind = field.evaluate("(one) => one.type")
        if kind == "radio":
            tab.check(f"[name='{name}'][value='{value}']", force=True)
        elif kind.startswith("select"):
            field.select_option(value)
        else:
            field.fill(value)
    tab.click("main button.first")
    tab.wait_for_url(re.compile("/jobs/"))
    job = re.search(r"/jobs/([^/?]+)", tab.url)[1]  # type: ignore[index]
    phone.post("yours/instrument", {"once": "1" * 32, **PROBE})
    phone.post(f"jobs/{job}/facts/spaces/new", {"once": "2" * 32, **SPACE})
    phone.post(f"jobs/{job}/facts/instruments/take", {"once": "3" * 32})
    phone.post(f"jobs/{job}/facts/unit", {"once": "4" * 32, "tag": "R-9", "cooling_capacity": "10 ton"})
    phone.post(
        f"jobs/{job}/record/sign",
        {"once": "5" * 32, "name": "Somebody", "role": "technician", "statement": "as entered"},
    )
    document = phone.text(f"jobs/{job}/job.json")
    as_printed = phone.text(f"jobs/{job}/record/page")
    phone.open(f"jobs/{job}/record/files")
    tab.wait_for_selector("text=Record for the owner, PDF")
    with tab.expect_download() as download:
        tab.click("text=Record for the owner, PDF")
    pdf = download.value.path().read_bytes()
    assert download.value.suggested_filename == "record.pdf"
    shown = printed_in_the_app(phone, job)
    assert "R-9" in shown
    phone.close()

    with ThreadPoolExecutor(1) as apart:  # the driver of the browser has this thread's event loop
        page, other = apart.submit(as_the_server_writes_it, document, job, tmp_path).result()
    assert same(page) == same(as_printed)
    assert pages(other) == pages(pdf)


def as_the_server_writes_it(document: str, job: str, folder: Path) -> tuple[str, bytes]:
    """Return the record of a job as this Python writes it: the page and the PDF."""
    client = Client(folder)
    asyncio.run(client.jobs.create(read_copy(document, "from the phone"), device="server"))
    page, pdf = client.get(f"/jobs/{job}/record/page"), client.get(f"/jobs/{job}/record/record.pdf")
    client.jobs.close()
    return page.text, pdf.content


def printed_in_the_app(phone: Phone, job: str) -> str:
    """Open the printed record from its page, come back, and return what it said."""
    tab = phone.open(f"jobs/{job}/record")
    tab.evaluate("document.documentElement.dataset.same = 'yes'")
    tab.click("text=Read and print the record")
    tab.wait_for_selector("text=Back to the job")
    shown = tab.inner_text("body")
    tab.click("text=Back to the job")
    tab.wait_for_selector("text=Read and print the record")
    assert tab.get_attribute("html", "data-same") == "yes", "the document was unloaded"
    return shown


def same(page: str) -> str:
    """Return the words of a page without times and digests."""
    return TIMES.sub("", " ".join(re.sub(r"<[^>]+>", " ", page).split()))


def pages(pdf: bytes) -> str:
    """Return the words of a PDF without times and digests."""
    return TIMES.sub("", " ".join(one.extract_text() for one in PdfReader(io.BytesIO(pdf)).pages))


@pytest.mark.parametrize("seed", [1])
def test_what_was_acknowledged_outlives_a_kill(phone: Phone, seed: int) -> None:
    acknowledged = killed_after(phone, Random(seed), most=6)  # noqa: S311 - a test's own chance
    phone.start(offline=True)
    assert_there(phone, acknowledged)
    phone.close()


def killed_after(phone: Phone, random: Random, most: int) -> dict[str, str]:
    """Enter things one after the other, and end the phone in the midst of one; returns what was acknowledged."""
    tab = phone.start(offline=True)
    done: dict[str, str] = {}
    for number in range(random.randint(1, most)):
        tag = f"K-{random.randrange(10**6)}-{number}"
        url = phone.post("new", {"once": f"{random.getrandbits(128):032x}", **FOUR})
        job = re.search(r"/jobs/([^/?]+)", url)[1]  # type: ignore[index]
        done[job] = ""
        phone.post(
            f"jobs/{job}/facts/unit",
            {"once": f"{random.getrandbits(128):032x}", "tag": tag, "cooling_capacity": "10 ton"},
        )
        done[job] = tag
    begun = {"once": f"{random.getrandbits(128):032x}", **FOUR}
    tab.evaluate(
        "([url, given]) => { fetch(url, { method: 'POST', body: new URLSearchParams(given) }); }",
        [f"{phone.base}new", begun],
    )
    tab.wait_for_timeout(random.uniform(0, 300))
    phone.kill()
    return done


def assert_there(phone: Phone, acknowledged: dict[str, str]) -> None:
    """Every acknowledged entry is in its job."""
    for job, tag in acknowledged.items():
        document = json.loads(phone.text(f"jobs/{job}/job.json"))
        assert document["facts"]["unit"].get("tag", "") == tag


def test_a_second_tab_waits_for_the_first(phone: Phone) -> None:
    phone.start(offline=True)
    second: Page = phone.another_tab()
    second.goto(phone.base)
    second.wait_for_selector("html[data-second]", state="attached")
    assert "The app is open in another tab or window." in second.inner_text("body")
    phone.tab.close()
    second.wait_for_selector("html[data-ready]", state="attached")
    phone.tab = second
    phone.close()


def test_an_update_in_the_middle_of_a_job_is_asked_first(phone: Phone, served: Served) -> None:
    folder = Path(served.options[1])
    before = json.loads((folder / "edition.json").read_text())["edition"]
    served.start()
    phone.start()
    url = phone.post("new", {"once": "8" * 32, **FOUR})
    job = re.search(r"/jobs/([^/?]+)", url)[1]  # type: ignore[index]
    newer(folder)
    tab = phone.open(f"jobs/{job}/facts/unit")
    tab.wait_for_selector("#fresh")
    assert phone.marks()["edition"] == before
    tab.fill("[name='tag']", "R-77")
    take_it(tab, before)
    assert tab.input_value("[name='tag']") == "R-77"
    assert json.loads(phone.text(f"jobs/{job}/job.json"))["facts"]["unit"]["cooling_capacity"] == "10 ton"
    phone.post("share", {"once": "9" * 32})
    assert "Everything entered here is on the server." in words(phone.text("share"))
    assert served.client.get(f"/jobs/{job}").status_code == 200
    phone.open("share")
    tab.wait_for_selector("[data-room]:not(:empty)")
    assert "edition another" in tab.inner_text("main")


def test_what_is_kept_is_brought_to_a_newer_form_only_by_an_edition_that_was_taken(
    play: Playwright, phone_folder: Path, tmp_path: Path
) -> None:
    """In the middle of a job: asked first, nothing lost, and a copy of the older form stays."""
    folder = tmp_path / "phone"
    shutil.copytree(phone_folder, folder)
    last = migrations()[-1]
    older(folder, f"ventwright/store/migrations/{last.version:03}_")
    served = Served(tmp_path / "jobs", "--phone", str(folder))
    served.start()
    phone = Phone(play, tmp_path / "profile", served.address)
    try:
        phone.start()
        url = phone.post("new", {"once": "8" * 32, **FOUR})
        job = re.search(r"/jobs/([^/?]+)", url)[1]  # type: ignore[index]
        assert versions(phone) == (last.version - 1, [])
        shutil.rmtree(folder)
        shutil.copytree(phone_folder, folder)
        tab = phone.open(f"jobs/{job}/facts/unit")
        tab.wait_for_selector("#fresh")
        tab.fill("[name='tag']", "R-77")
        assert versions(phone) == (last.version - 1, [])
        take_it(tab, "older")
        assert tab.input_value("[name='tag']") == "R-77"
        assert versions(phone) == (last.version, [f"/data/jobs.sqlite3.version-{last.version - 1}"])
        document = json.loads(phone.text(f"jobs/{job}/job.json"))
        assert document["facts"]["unit"]["cooling_capacity"] == "10 ton"
        tab.click("main button.first")
        tab.wait_for_selector(".undo")
        assert json.loads(phone.text(f"jobs/{job}/job.json"))["facts"]["unit"]["tag"] == "R-77"
    finally:
        phone.close()
        served.stop()


def take_it(tab: Page, before: str) -> None:
    """Take the newer edition, and wait until it has answered."""
    tab.click("#fresh >> text=Take it now")
    tab.wait_for_function(
        "(old) => globalThis.ventwright?.first && globalThis.ventwright.edition !== old", arg=before
    )
    tab.wait_for_selector("text=Typed before, and not entered yet.")


VERSIONS = """async (base) => {
  const done = (one) => new Promise((resolve, reject) => { one.onsuccess = () => resolve(one.result); one.onerror = reject; });
  const parts = (await done(indexedDB.open(`ventwright ${base}`))).transaction("parts").objectStore("parts");
  const [first, keys] = await Promise.all([done(parts.get(["jobs.sqlite3", 0])), done(parts.getAllKeys())]);
  return [new DataView(first.buffer, first.byteOffset).getUint32(60), keys.filter(([name]) => name === "before").map(([, path]) => path)];
}"""
"""The version stands in bytes 60 to 63 of the file (SQLite's file format, "user version")."""


def versions(phone: Phone) -> tuple[int, list[str]]:
    """Return the version of the database as the browser keeps it, and the copies of older ones."""
    version, copies = phone.tab.evaluate(VERSIONS, "/phone/")
    return version, copies


def older(folder: Path, without: str) -> None:
    """Make an edition of a folder as it was before: some files of the program are not in it yet."""
    path = folder / "py" / "ventwright.pack"
    pack = path.read_bytes()
    begins = 4 + int.from_bytes(pack[:4], "little")
    index = json.loads(pack[4:begins])
    held = {
        name: pack[begins + at : begins + at + size]
        for name, (at, size) in index.items()
        if not name.startswith(without)
    }
    assert len(held) == len(index) - 1
    write_pack(path, held)
    edition(folder, "py/ventwright.pack", "older")


def edition(folder: Path, changed: str, name: str) -> None:
    """Give a folder in which a file was changed a list of its own."""
    content = (folder / changed).read_bytes()
    listed = json.loads((folder / "edition.json").read_text())
    listed["files"][changed] = {"sha256": hashlib.sha256(content).hexdigest(), "bytes": len(content)}
    (folder / "edition.json").write_text(json.dumps(listed | {"edition": name}))
    for one in (changed, "edition.json"):
        (folder / f"{one}.gz").unlink(missing_ok=True)


def test_the_memory_of_a_start_makes_the_next_one_shorter(
    play: Playwright, phone_folder: Path, tmp_path: Path
) -> None:
    """It says the same afterwards; where it is damaged the app starts from the beginning, and it is made again."""
    served = Served(tmp_path / "jobs", "--phone", str(phone_folder))
    served.start()
    phone = Phone(play, tmp_path / "profile", served.address)
    try:
        phone.start()
        url = phone.post("new", {"once": "7" * 32, **FOUR})
        path = url.removeprefix(phone.base).partition("?")[0]
        said = same(phone.text(path))
        imported = phone.marks()["imported"] - phone.marks()["python"]
        phone.tab.wait_for_selector("html[data-remembered]", state="attached")
        phone.open(path)
        marks = phone.marks()
        assert marks["remembered"]
        assert marks["imported"] - marks["python"] < imported / 4
        assert same(phone.text(path)) == said
        phone.tab.evaluate(DAMAGED, f"/phone/memory/{marks['edition']}")
        phone.open(path)
        assert "remembered" not in phone.marks()
        assert same(phone.text(path)) == said
    finally:
        phone.close()
        served.stop()


DAMAGED = """async (path) => {
  const cache = await caches.open("ventwright /phone/"), found = await cache.match(path);
  await cache.put(path, new Response((await found.blob()).slice(0, 5000), { headers: found.headers }));
}"""


def test_a_browser_that_stores_nothing_is_sent_to_the_servers_pages(
    play: Playwright, phone_folder: Path, tmp_path: Path
) -> None:
    """And so is one that does not know modules; what is kept in a form too new is given out as it is."""
    served = Served(tmp_path / "jobs", "--phone", str(phone_folder))
    served.start()
    browser = play.chromium.launch(executable_path=FOUND, args=["--no-sandbox", "--disable-gpu"])
    try:
        for lacking in ("indexedDB", "caches", "WebAssembly"):
            tab = browser.new_context().new_page()
            tab.add_init_script(f"delete globalThis.{lacking}; delete Window.prototype.{lacking};")
            tab.goto(f"{served.address}/phone/")
            tab.wait_for_selector("html[data-failed]", state="attached")
            assert "This browser is too old, or is kept from storing anything." in tab.inner_text("body")
            assert not tab.is_visible("#starting")
            tab.click("text=The pages of the server")
            tab.wait_for_selector("text=New job")
        tab = browser.new_context().new_page()
        tab.route("**/shell.mjs", lambda route: route.abort())
        tab.goto(f"{served.address}/phone/")
        tab.add_script_tag(url=f"{served.address}/phone/too_old.js")
        assert "This browser is too old for the app" in tab.inner_text("main")
    finally:
        browser.close()
        served.stop()


def test_a_browser_says_that_it_can_be_installed(phone: Phone) -> None:
    """Chromium's own check of manifest and icons, with the network off."""
    phone.start(offline=True)
    asked = phone.tab.context.new_cdp_session(phone.tab)
    assert asked.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
    assert asked.send("Page.getAppManifest")["errors"] == []
    phone.close()


def newer(folder: Path) -> None:
    """Make another edition of a folder: one file of it says more."""
    path = folder / "notices.txt"
    path.write_text(path.read_text() + "\nAnother edition.\n")
    edition(folder, "notices.txt", "another")


def test_jobs_that_cannot_be_opened_are_given_out_as_a_file(phone: Phone) -> None:
    """A file of a newer Ventwright, such as an update that was taken back leaves behind."""
    phone.start(offline=True)
    tab = phone.tab
    tab.evaluate(TOO_NEW, "/phone/")
    tab.goto(phone.base)
    tab.wait_for_selector("html[data-failed]", state="attached")
    assert "was written by a newer Ventwright" in tab.inner_text(".alarm")
    with tab.expect_download() as download:
        tab.click("text=Save what is kept here as a file")
    content = download.value.path().read_bytes()
    assert content.startswith(b"SQLite format 3")
    assert int.from_bytes(content[60:64]) == 99
    phone.close()


TOO_NEW = """async (base) => {
  const done = (one) => new Promise((resolve, reject) => { one.onsuccess = () => resolve(one.result); one.onerror = reject; });
  const parts = (await done(indexedDB.open(`ventwright ${base}`))).transaction("parts", "readwrite").objectStore("parts");
  const first = await done(parts.get(["jobs.sqlite3", 0]));
  new DataView(first.buffer, first.byteOffset).setUint32(60, 99);
  await done(parts.put(first, ["jobs.sqlite3", 0]));
}"""
