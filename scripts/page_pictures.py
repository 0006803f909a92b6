"""Take the pictures of the pages that the README shows, from the store of the demo.

    python scripts/page_pictures.py [NAME ...]    writes docs/pictures/page-*.png, or only those named

It needs Chromium (variable HOISTBOOK_CHROMIUM where it has another name) and the development libraries.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "docs" / "pictures"
CHROMIUM = os.environ.get("HOISTBOOK_CHROMIUM") or shutil.which("chromium") or "chromium"
SHOWN = {
    "page-gap": ("/studies/light-vans/gap/", "light", 900),
    "page-parts": ("/vehicles/T/parts/?at=T-0363", "light", 760),
    "page-tests": ("/vehicles/T/tests/#B", "dark", 760),
    "page-claims": ("/studies/light-vans/claims/", "light", 760),
    "page-cost": ("/vehicles/W/cost/", "light", 900),
    "page-cost-part": (
        "/vehicles/W/cost/part/?at=W-0710&step1=permanent_mould_casting&volume=30000",
        "light",
        900,
    ),
    "page-cost-compare": ("/cost/?a=W&b=T&function=F32", "dark", 900),
}
"""Address, theme and height of the window of each picture."""


def main() -> int:
    """Make a store, serve it, look at it."""
    from playwright.sync_api import sync_playwright

    from hoistbook.services.demo import demo_store

    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "store"
        demo_store(store)
        serving = subprocess.Popen(
            [
                sys.executable,
                "-c",
                "from hoistbook.cli.main import app; app()",
                "serve",
                "--store",
                store,
                "--port",
                "0",
            ],
            stdout=subprocess.PIPE,
            text=True,
        )
        try:
            found = re.match(r"http://127\.0\.0\.1:\d+", serving.stdout.readline())
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
                for name in sys.argv[1:] or SHOWN:
                    address, theme, height = SHOWN[name]
                    page = browser.new_page(viewport={"width": 1280, "height": height}, color_scheme=theme)
                    # Twice: a comparison is asked for once what it rests on is there.
                    for _ in range(2):
                        page.goto(found[0] + address)
                        for waiting in page.locator("[hx-trigger^=every]").all():
                            waiting.wait_for(state="detached", timeout=120_000)
                    if "#" in address:
                        page.evaluate("document.querySelector(location.hash).scrollIntoView()")
                    page.screenshot(path=OUT / f"{name}.png")
                    page.close()
                    print(f"docs/pictures/{name}.png")
                browser.close()
        finally:
            serving.terminate()
            serving.wait(20)
    return 0


if __name__ == "__main__":
    sys.exit(main())
