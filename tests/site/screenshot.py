"""Makes the picture in the README anew: `python -m tests.site.screenshot`.

Builds the demo site, opens a sheet in Chromium and writes what a reader first sees.
"""

from __future__ import annotations

import functools
import http.server
import io
import tempfile
import threading
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from specgen.publish.plugin import build_site
from tests.conftest import chromium
from tests.site.conftest import CONFIG, ROOT

PICTURE = ROOT / "site_src" / "pages" / "images" / "sheet.png"
SHEET = "builds/lark-hydroplane/"


def main() -> None:
    """Build, look, and write the picture with few colours, as a drawing needs no more."""
    with tempfile.TemporaryDirectory() as folder:
        site = build_site(CONFIG, site_dir=Path(folder) / "site")
        handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=str(site))
        with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
            threading.Thread(target=server.serve_forever, daemon=True).start()
            shot = _look(f"http://127.0.0.1:{server.server_port}/{SHEET}")
            server.shutdown()
    PICTURE.parent.mkdir(parents=True, exist_ok=True)
    Image.open(io.BytesIO(shot)).convert("RGB").quantize(64).save(PICTURE, optimize=True)
    print(f"{PICTURE.relative_to(ROOT)}: {PICTURE.stat().st_size // 1024} kB")


def _look(address: str) -> bytes:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1200, "height": 860}, color_scheme="light")
        page.goto(address)
        page.wait_for_load_state("networkidle")
        shot = page.screenshot()
        browser.close()
    return shot


if __name__ == "__main__":
    main()
