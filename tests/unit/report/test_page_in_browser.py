import json
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.unit.report.documents import page_text
from tests.unit.report.sample import FINDINGS

pytestmark = pytest.mark.slow

SCRIPT = Path(__file__).with_name("check_page.cjs")
PACKAGES = ["axe-core@4.14.1", "playwright-core@1.65.1"]
BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="module")
def browser():
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        pytest.skip("no Chromium on this machine")
    return found


@pytest.fixture(scope="module")
def node_modules(tmp_path_factory):
    if shutil.which("npm") is None or shutil.which("node") is None:
        pytest.skip("no npm on this machine")
    folder = tmp_path_factory.mktemp("node")
    command = ["npm", "install", "--no-audit", "--no-fund", "--ignore-scripts", *PACKAGES]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    if done.returncode:
        pytest.skip(f"npm could not fetch the page checker: {done.stderr[-300:]}")
    return folder / "node_modules"


@pytest.fixture(scope="module")
def checked(browser, node_modules, tmp_path_factory):
    page = tmp_path_factory.mktemp("page") / "report.html"
    page.write_text(page_text(FINDINGS), encoding="utf-8")
    command = ["node", str(SCRIPT), str(node_modules), browser, str(page)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=240)
    return json.loads(done.stdout)


@pytest.mark.parametrize("appearance", ["light 1200", "light 360", "dark 1200", "dark 360"])
def test_the_checker_of_pages_finds_nothing_serious(checked, appearance):
    # axe-core's rules for WCAG 2.0 to 2.2, levels A and AA, and good practice.
    serious = [
        one
        for one in checked[appearance]["violations"]
        if one["impact"] in ("serious", "critical", "moderate")
    ]

    assert checked[appearance]["passes"] > 20
    assert serious == []


@pytest.mark.parametrize("appearance", ["light 360", "dark 360"])
def test_on_a_phone_nothing_makes_the_page_scroll_sideways(checked, appearance):
    # WCAG 2.2, 1.4.10 Reflow: a column of 320 to 360 px without scrolling in two directions.
    assert checked[appearance]["wider"] <= 0
